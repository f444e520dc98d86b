using Pourwright.Studio.Lots;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>What a recall or a drill found before anything is held or said.</summary>
/// <param name="List">Everything it reaches.</param>
/// <param name="People">Whom to tell.</param>
/// <param name="SilentSites">Sites of the list of whose contacts nobody has an address.</param>
/// <param name="OtherDeliveries">Lots under the supplier's code of one that is concerned, which are not concerned themselves.</param>
public sealed record RecallFindings(
    RecallList List, IReadOnlyList<PersonToTell> People, IReadOnlyList<string> SilentSites, IReadOnlyList<LotRecord> OtherDeliveries);
