using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using static Pourwright.V1.Offering.Types;

namespace Pourwright.Studio.Tests.Names;

public class UpdateMaskTests
{
    private static readonly string[] OfOffering = ["display_name", "depth_mm", "seat_count", "longest_gap_days", "layers", "finish"];

    /// <summary>A field is set where its value differs from nothing, or where it is said at all, if it can be said.</summary>
    [Theory]
    [InlineData("display_name", "text")]
    [InlineData("depth_mm", "number")]
    [InlineData("seat_count", "count")]
    [InlineData("longest_gap_days", "said to be zero")]
    [InlineData("layers", "list")]
    [InlineData("finish", "message")]
    public void Merge_WithoutMask_TakesTheOneFieldThatIsSet(string field, string what)
    {
        var change = what switch
        {
            "text" => new Offering { DisplayName = "River" },
            "number" => new() { DepthMm = 20 },
            "count" => new() { SeatCount = 4 },
            "said to be zero" => new() { LongestGapDays = 0 },
            "list" => new() { Layers = { new Layer { DepthMm = 3 } } },
            _ => new() { Finish = new() },
        };

        var merged = UpdateMask.Merge(Current(), change, null, OfOffering);

        var differing = Offering.Descriptor.Fields.InDeclarationOrder()
            .Where(f => !Equals(f.Accessor.GetValue(merged), f.Accessor.GetValue(Current()))).Select(f => f.Name);
        Assert.Equal([field], differing);
    }

    [Fact]
    public void Merge_WithoutMask_TakesAnEnumThatIsSaid()
    {
        var station = new Station { DisplayName = "Saw", Kind = Station.Types.Kind.Saw };

        Assert.Equal(Station.Types.Kind.Saw, UpdateMask.Merge(station, new() { DisplayName = "Big saw" }, null, ["display_name", "kind"]).Kind);
        Assert.Equal(Station.Types.Kind.Sanding, UpdateMask.Merge(station, new() { Kind = Station.Types.Kind.Sanding }, null, ["display_name", "kind"]).Kind);
    }

    [Fact]
    public void Merge_WithAMask_ClearsWhatTheChangeLeavesOut()
    {
        var merged = UpdateMask.Merge(Current(), new() { DisplayName = "River", SeatCount = 3 }, FieldMask.FromString("layers,longest_gap_days,seat_count"), OfOffering);

        Assert.Equal(("Tray", 3, false, 0), (merged.DisplayName, merged.SeatCount, merged.HasLongestGapDays, merged.Layers.Count));
    }

    [Fact]
    public void Merge_WithAStar_TakesAllThatMayChangeAndNoMore()
    {
        var merged = UpdateMask.Merge(Current(), new() { Name = "other", Etag = "e-1", DisplayName = "River" }, FieldMask.FromString("*"), OfOffering);

        Assert.Equal(new Offering { Name = "tray", Etag = "e-1", DisplayName = "River" }, merged);
    }

    [Fact]
    public void Merge_LeavesTheCurrentOneAsItWas()
    {
        var current = Current();

        UpdateMask.Merge(current, new() { DisplayName = "River" }, null, OfOffering);

        Assert.Equal(Current(), current);
    }

    [Fact]
    public void Merge_OfAStaleEtag_IsRefusedWithBoth()
    {
        var refusal = Assert.Throws<Refusal>(() => UpdateMask.Merge(Current(), new() { Etag = "e-0", SeatCount = 3 }, null, OfOffering));

        Assert.Equal((Reasons.EtagStale, "tray", "e-0", "e-1"), (refusal.Reason, refusal.Facts["name"], refusal.Facts["sent"], refusal.Facts["current"]));
    }

    [Fact]
    public void Merge_OfAPathThatMayNotChange_NamesIt()
    {
        var refusal = Assert.Throws<Refusal>(() => UpdateMask.Merge(Current(), new(), FieldMask.FromString("name"), OfOffering));

        Assert.Equal((Reasons.FieldInvalid, "update_mask", "name"), (refusal.Reason, refusal.Fields[0].Field, refusal.Fields[0].Value));
    }

    private static Offering Current() => new()
    {
        Name = "tray",
        Etag = "e-1",
        DisplayName = "Tray",
        DepthMm = 30,
        SeatCount = 8,
        LongestGapDays = 21,
        Layers = { new Layer { DepthMm = 15 }, new Layer { DepthMm = 15 } },
        Finish = new() { WithinDays = 4 },
    };
}
