namespace Pourwright.Studio.Mixes;

/// <summary>A mix is otherwise than it was recorded: what was poured from it is forecast anew.</summary>
public sealed record MixCorrected(string Mix);
