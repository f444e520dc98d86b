namespace Pourwright.Faults;

/// <summary>Tests that measure the processor time of their own process: no other runs beside them in it.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class Alone
{
    public const string Name = "Alone";
}
