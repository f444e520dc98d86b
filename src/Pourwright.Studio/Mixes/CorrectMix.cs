using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>A draw of a mix: as it stands, or as it stood before the mix was said not to have occurred.</summary>
public sealed record RecordedDraw
{
    public required string Container { get; init; }
    public required Part Part { get; init; }
    public required long MassMg { get; init; }
    public required long Place { get; init; }
    public required long RecordedSequence { get; init; }
    public required long EventMs { get; init; }
    public required bool Stands { get; init; }
}

/// <summary>A container that a draw is or was taken from, with what was in it when the mix was recorded.</summary>
/// <param name="SealedExpireMs">See <see cref="ContainerHistory"/>.</param>
public sealed record DrawnContainer(ContainerContents Then, IReadOnlyList<StandingEvent> Events, long? SealedExpireMs)
{
    public ContainerRecord Container => Then.Container;
}

/// <summary>What a correction of a mix is judged by.</summary>
public sealed record CorrectMixFacts
{
    /// <summary>As it is right so far.</summary>
    public required MixRecord Mix { get; init; }
    public required ResinSystemRecord System { get; init; }
    public required IReadOnlyList<RecordedDraw> Draws { get; init; }

    /// <summary>By name: those of its draws and those named as right.</summary>
    public required IReadOnlyDictionary<string, DrawnContainer> Containers { get; init; }

    /// <summary>Poured and thrown away, mg.</summary>
    public required long LeftMassMg { get; init; }

    /// <summary>The pours from it that stand.</summary>
    public required IReadOnlyList<string> Pours { get; init; }
    public required long NowMs { get; init; }
}

/// <summary>A correction to insert, the mix as it is right, and its containers with their balances.</summary>
public sealed record MixCorrection(CorrectionRecord Correction, MixRecord Mix, IReadOnlyList<ContainerChange> Containers);

/// <summary>A mix that was recorded wrongly is put right beside its record.</summary>
public static class CorrectMix
{
    /// <exception cref="Refusal">FIELD_INVALID with every field that breaks its rule.</exception>
    public static void Check(CorrectMixRequest request)
    {
        var studio = ResourceKind.Mix.Matches(request.Name) ? ResourceNames.StudioOf(request.Name) : null;
        var checks = new FieldChecks().Name("name", request.Name, ResourceKind.Mix);
        CheckCorrection(checks, request.Kind, request.Person, request.Reason)
            .Require(request.Draws.Count > 0 == (request.Kind == Correction.Types.Kind.IncorrectData), "draws",
                "must name the draws that were otherwise, and none where the mix did not occur.", $"{request.Draws.Count}");
        for (var i = 0; i < request.Draws.Count; i++)
        {
            var draw = request.Draws[i];
            checks.Name($"draws[{i}].container", draw.Container, ResourceKind.Container, studio).Mass($"draws[{i}].mass_mg", draw.MassMg, 0);
            if (draw.RightContainer.Length > 0) checks.Name($"draws[{i}].right_container", draw.RightContainer, ResourceKind.Container, studio);
        }
        checks.ThrowIfAny();
    }

    /// <summary>The fields that every correction has.</summary>
    internal static FieldChecks CheckCorrection(FieldChecks checks, Correction.Types.Kind kind, string person, string reason) => checks
        .Require(kind is Correction.Types.Kind.DidNotOccur or Correction.Types.Kind.IncorrectData, "kind",
            "must be KIND_DID_NOT_OCCUR or KIND_INCORRECT_DATA.", $"{(int)kind}")
        .Text("person", person, 80).Text("reason", reason, 500, 3);

    /// <exception cref="Refusal">FIELD_INVALID, MIX_POURED, MIX_SHORT, NOTHING_TO_CORRECT, PART_MISMATCH, RESIN_SYSTEM_MISMATCH,
    /// SITE_MISMATCH, CONTAINER_SPENT, CONTAINER_SHORT.</exception>
    public static MixCorrection Decide(CorrectMixRequest request, CorrectMixFacts facts) =>
        request.Kind == Correction.Types.Kind.DidNotOccur ? Undo(request, facts) : Change(request, facts);

    private static MixCorrection Undo(CorrectMixRequest request, CorrectMixFacts facts)
    {
        var mix = facts.Mix;
        if (mix.DidNotOccur) throw NothingToCorrect(mix.Name, "it is said not to have occurred already");
        if (facts.Pours.Count > 0)
            throw Refusal.Precondition(Reasons.MixPoured,
                $"{ResourceNames.IdOf(mix.Name)} was poured {facts.Pours.Count} times by the record, into {Pieces(facts.Pours)}. Correct those pours first: undo them, or say from which mix they really came.",
                ("mix", mix.Name), ("pours", string.Join(", ", facts.Pours)));
        return Put(request, facts, [], mix with { DidNotOccur = true, RemainingMassMg = 0 },
            [new() { What = $"mix {ResourceNames.IdOf(mix.Name)}", Recorded = Words(facts.Draws), Right = CorrectionJson.NeverHappened }]);
    }

    private static MixCorrection Change(CorrectMixRequest request, CorrectMixFacts facts)
    {
        var right = facts.Draws.Select(draw => Right(draw, request, facts)).ToList();
        RequireEachOnce(request, facts, right);
        foreach (var draw in right) RequirePossible(draw, facts);
        var changes = Changes(facts, right).ToList();
        if (changes.Count == 0) throw NothingToCorrect(facts.Mix.Name, "all of it stands already");
        return Put(request, facts, right, Weighed(request, facts, right), changes);
    }

    private static MixCorrection Put(
        CorrectMixRequest request, CorrectMixFacts facts, IReadOnlyList<RecordedDraw> right, MixRecord mix, IEnumerable<Correction.Types.Change> changes)
    {
        var gone = facts.Draws.Where(draw => draw.Stands && !right.Contains(draw)).ToLookup(draw => draw.Container);
        var come = right.Where(draw => !draw.Stands || !facts.Draws.Contains(draw)).ToLookup(draw => draw.Container);
        var containers = gone.Select(draws => draws.Key).Union(come.Select(draws => draws.Key)).Select(name => RebookContainer.Decide(
            new(facts.Containers[name].Container, facts.Containers[name].Events,
                [.. gone[name].Select(draw => draw.RecordedSequence)],
                [.. come[name].Select(draw => new PlacedDraw(mix.Name, draw.MassMg, draw.Place, draw.EventMs))], facts.Containers[name].SealedExpireMs),
            mix.Name, request.Reason, facts.NowMs, RecordMix.OpenedShelfLifeMs(facts.Containers[name].Container, facts.System)));
        return new(Row(request, mix, facts.NowMs, changes), mix, [.. containers]);
    }

    private static CorrectionRecord Row(CorrectMixRequest request, MixRecord mix, long nowMs, IEnumerable<Correction.Types.Change> changes) => new()
    {
        Site = mix.Site,
        Subject = mix.Name,
        Kind = CorrectionRecord.KindOf(request.Kind),
        Person = request.Person,
        Reason = request.Reason,
        CorrectMs = nowMs,
        Changes = CorrectionJson.Write(changes),
        AMassMg = mix.AMassMg,
        BMassMg = mix.BMassMg,
        PigmentMassMg = mix.PigmentMassMg,
        HardenerPartsPer100Resin = mix.HardenerPartsPer100Resin,
        RatioDeviationPercent = mix.RatioDeviationPercent,
        Cautions = mix.Cautions,
    };

    private static RecordedDraw Right(RecordedDraw draw, CorrectMixRequest request, CorrectMixFacts facts) =>
        request.Draws.LastOrDefault(said => said.Container == draw.Container) is not { } right ? draw : draw with
        {
            Container = right.RightContainer.Length > 0 ? facts.Containers[right.RightContainer].Container.Name : draw.Container,
            MassMg = right.MassMg > 0 ? right.MassMg : draw.MassMg,
        };

    /// <summary>The mix with its masses as they are right. It happened, so that no ratio and no size is refused; they are cautions.</summary>
    private static MixRecord Weighed(CorrectMixRequest request, CorrectMixFacts facts, IReadOnlyList<RecordedDraw> right)
    {
        long MassOf(Part part) => right.Where(draw => draw.Part == part).Sum(draw => draw.MassMg);
        var ratio = new MixRatio(facts.System, MassOf(Part.A), MassOf(Part.B));
        var totalMg = right.Sum(draw => draw.MassMg);
        RequireEnough(facts, totalMg);
        var deviation = facts.Mix.DeviationReason.Length > 0 ? facts.Mix.DeviationReason : request.Reason;
        List<ContainerContents> contents = [.. right.Select(draw => facts.Containers[draw.Container].Then)];
        return facts.Mix with
        {
            AMassMg = ratio.AMassMg,
            BMassMg = ratio.BMassMg,
            PigmentMassMg = MassOf(Part.Pigment),
            HardenerPartsPer100Resin = ratio.HardenerPartsPer100Resin,
            RatioDeviationPercent = ratio.DeviationPercent,
            Cautions = MessageListJson.Write(RecordMix.CautionsOf(ratio, totalMg, deviation, contents)),
            RemainingMassMg = totalMg - facts.LeftMassMg,
            DidNotOccur = false,
        };
    }

    private static IEnumerable<Correction.Types.Change> Changes(CorrectMixFacts facts, IReadOnlyList<RecordedDraw> right)
    {
        if (facts.Mix.DidNotOccur)
            yield return new() { What = $"mix {ResourceNames.IdOf(facts.Mix.Name)}", Recorded = CorrectionJson.NeverHappened, Right = Words(right) };
        foreach (var (was, becomes) in facts.Draws.Zip(right))
            if (CorrectionJson.Change($"draw from {ResourceNames.IdOf(was.Container)}", Words([was]), Words([becomes])) is { } change)
                yield return change;
    }

    private static string Words(IEnumerable<RecordedDraw> draws) =>
        string.Join(", ", draws.Select(draw => $"{Amounts.Grams(draw.MassMg)} of {ResourceNames.IdOf(draw.Container)}"));

    private static string Pieces(IEnumerable<string> pours) =>
        string.Join(", ", pours.Select(pour => $"{ResourceNames.IdOf(pour[..pour.LastIndexOf("/pours/", StringComparison.Ordinal)])} ({ResourceNames.IdOf(pour)})"));

    private static Refusal NothingToCorrect(string name, string why) => Refusal.Precondition(Reasons.NothingToCorrect,
        $"Nothing of {ResourceNames.IdOf(name)} would change: {why}. Say what is right, if it is otherwise.", ("name", name));

    private static void RequireEachOnce(CorrectMixRequest request, CorrectMixFacts facts, IReadOnlyList<RecordedDraw> right)
    {
        var checks = new FieldChecks();
        var drawn = string.Join(", ", facts.Draws.Select(draw => ResourceNames.IdOf(draw.Container)));
        for (var i = 0; i < request.Draws.Count; i++)
        {
            var said = request.Draws[i].Container;
            checks
                .Require(facts.Draws.Any(draw => draw.Container == said), $"draws[{i}].container", $"is no container that the mix drew from; it drew from {drawn}.", said)
                .Require(request.Draws.Take(i).All(other => other.Container != said), $"draws[{i}].container", "stands twice; say all of it in one draw.", said);
        }
        foreach (var twice in right.GroupBy(draw => draw.Container).Where(draws => draws.Count() > 1))
            checks.Require(false, "draws", "would stand twice in the mix. Undo the mix and record it anew with one draw from it.", twice.Key);
        checks.ThrowIfAny();
    }

    private static void RequirePossible(RecordedDraw draw, CorrectMixFacts facts)
    {
        var container = facts.Containers[draw.Container].Container;
        if (container.Part != draw.Part)
            throw Refusal.Precondition(Reasons.PartMismatch,
                $"{container.Label} holds part {container.Part}, the draw was of part {draw.Part}. Check the labels.",
                ("container", container.Name), ("part", $"{container.Part}"), ("draw_part", $"{draw.Part}"));
        RecordMix.RequireSystem(container, facts.System);
        if (SiteThen(facts.Containers[draw.Container], draw.Place) is { } site)
            ContainerUse.RequireSite(container with { Site = site }, facts.Mix.Site);
    }

    /// <summary>Where it stood when the mix was recorded: coming in, being filled and moving say where. Null where it moved since and nothing before says.</summary>
    private static string? SiteThen(DrawnContainer drawn, long place) =>
        drawn.Events.LastOrDefault(e => e.Site is not null && e.Sequence < place)?.Site
        ?? (drawn.Events.All(e => e.Kind != ContainerEventKinds.Moved) ? drawn.Container.Site : null);

    private static void RequireEnough(CorrectMixFacts facts, long totalMg)
    {
        if (totalMg < facts.LeftMassMg)
            throw Refusal.Precondition(Reasons.MixShort,
                $"{ResourceNames.IdOf(facts.Mix.Name)} would hold {Amounts.Grams(totalMg)}, and {Amounts.Grams(facts.LeftMassMg)} of it were poured or thrown away by the record. Correct the pours first, if they weighed less.",
                ("mix", facts.Mix.Name), ("mass_mg", $"{totalMg}"), ("left_mass_mg", $"{facts.LeftMassMg}"));
    }
}
