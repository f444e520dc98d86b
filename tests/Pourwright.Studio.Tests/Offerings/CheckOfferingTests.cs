using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.V1.Offering.Types;

namespace Pourwright.Studio.Tests.Offerings;

/// <summary>What an offering may say of itself.</summary>
public class CheckOfferingTests
{
    private static readonly Dictionary<string, (Action<Offering> Spoil, string Field)> Table = new()
    {
        ["no name"] = (o => o.DisplayName = "", "display_name"),
        ["no resin"] = (o => o.ResinSystem = "", "resin_system"),
        ["resin of another studio"] = (o => o.ResinSystem = "studios/elm/resinSystems/deep", "resin_system"),
        ["no depth"] = (o => o.DepthMm = 0, "depth_mm"),
        ["depth that is no number"] = (o => o.DepthMm = double.NaN, "depth_mm"),
        ["no length"] = (o => o.LengthMm = 9.9, "length_mm"),
        ["width of a hall"] = (o => o.WidthMm = 5000.1, "width_mm"),
        ["nothing but wood"] = (o => o.WoodShareRatio = 0.96, "wood_share_ratio"),
        ["channel wider than the mould"] = (o => o.ChannelWidthMm = 400.1, "channel_width_mm"),
        ["channel of a crack"] = (o => o.ChannelWidthMm = 4.9, "channel_width_mm"),
        ["no seats"] = (o => o.SeatCount = 0, "seat_count"),
        ["seats of a theatre"] = (o => o.SeatCount = 101, "seat_count"),
        ["no piece a student"] = (o => o.StudentPieceCount = 0, "student_piece_count"),
        ["pour of a moment"] = (o => o.PourDuration = SampleTeaching.Minutes(4), "pour_duration"),
        ["pour of more than a day's work"] = (o => o.PourDuration = SampleTeaching.Minutes(721), "pour_duration"),
        ["pour of a minute and a half"] = (o => o.PourDuration = new() { Seconds = 450 }, "pour_duration"),
        ["machine day of a night"] = (o => o.MachineDuration = SampleTeaching.Minutes(721), "machine_duration"),
        ["planing backwards"] = (o => o.PlanerDuration = SampleTeaching.Minutes(-1), "planer_duration"),
        ["sawing all day"] = (o => o.SawDuration = SampleTeaching.Minutes(481), "saw_duration"),
        ["longest gap shorter than a day"] = (o => o.LongestGapDays = 0, "longest_gap_days"),
        ["longest gap of years"] = (o => o.LongestGapDays = 366, "longest_gap_days"),
        ["moulds built after the pour"] = (o => o.MouldPrepDays = -1, "mould_prep_days"),
        ["seal coat that comes off"] = (o => o.SealCoatGPerM2 = -1, "seal_coat_g_per_m2"),
        ["seal coat of another studio's resin"] = (o => o.SealCoatResinSystem = "studios/elm/resinSystems/coat", "seal_coat_resin_system"),
        ["more lost than poured"] = (o => o.LossShareRatio = 1.01, "loss_share_ratio"),
        ["finish of no length"] = (o => o.Finish.SessionDuration = null, "finish.session_duration"),
        ["finish after no wait said"] = (o => o.Finish.Wait = null, "finish.wait"),
        ["finish within no days"] = (o => o.Finish.WithinDays = 0, "finish.within_days"),
        ["finish that is too late as soon as it may be"] = (o => o.Finish.Wait = Hours(97), "finish.wait"),
        ["finish before the machines"] = (o => o.Finish.Wait = Hours(-1), "finish.wait"),
        ["one layer of several"] = (o => o.Layers.Add(new Layer { DepthMm = 30 }), "layers"),
        ["layers that do not add up"] = (o => o.Layers.Add([new Layer { DepthMm = 15 }, new Layer { DepthMm = 14.4, PourOffset = Hours(6) }]), "layers"),
        ["more layers than a week has"] = (o => o.Layers.Add(Enumerable.Range(0, 12).Select(i => new Layer { DepthMm = 2.5, PourOffset = i == 0 ? null : Hours(i) })), "layers"),
        ["first layer late"] = (o => o.Layers.Add([new Layer { DepthMm = 15, PourOffset = Hours(1) }, new Layer { DepthMm = 15, PourOffset = Hours(6) }]), "layers[0].pour_offset"),
        ["two layers at once"] = (o => o.Layers.Add([new Layer { DepthMm = 15 }, new Layer { DepthMm = 15 }]), "layers[1].pour_offset"),
        ["layers out of order"] = (o => o.Layers.Add([new Layer { DepthMm = 10 }, new Layer { DepthMm = 10, PourOffset = Hours(6) }, new Layer { DepthMm = 10, PourOffset = Hours(6) }]), "layers[2].pour_offset"),
        ["layer after a fortnight"] = (o => o.Layers.Add([new Layer { DepthMm = 15 }, new Layer { DepthMm = 15, PourOffset = Hours(337) }]), "layers[1].pour_offset"),
        ["layer of a film"] = (o => o.Layers.Add([new Layer { DepthMm = 29.6 }, new Layer { DepthMm = 0.4, PourOffset = Hours(6) }]), "layers[1].depth_mm"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory, MemberData(nameof(Claims))]
    public void Offering_WithASpoiltField_NamesIt(string claim)
    {
        var offering = Full();
        Table[claim].Spoil(offering);

        var refusal = Assert.Throws<Refusal>(() => CheckOffering.Shape(offering, SampleStudio.Name));

        Assert.Equal((Reasons.FieldInvalid, $"offering.{Table[claim].Field}"), (refusal.Reason, Assert.Single(refusal.Fields).Field));
    }

    [Fact]
    public void Offering_AtTheEdgeOfEveryRange_MayBe()
    {
        var offering = Full();
        (offering.DepthMm, offering.LengthMm, offering.WidthMm, offering.ChannelWidthMm) = (600, 5000, 10, 5000);
        (offering.WoodShareRatio, offering.SeatCount, offering.StudentPieceCount) = (0.95, 100, 10);
        (offering.LongestGapDays, offering.MouldPrepDays, offering.SealCoatGPerM2, offering.LossShareRatio) = (1, 0, 0, 1);
        (offering.PourDuration, offering.MachineDuration) = (SampleTeaching.Minutes(5), SampleTeaching.Minutes(720));
        (offering.PlanerDuration, offering.SawDuration) = (SampleTeaching.Minutes(0), SampleTeaching.Minutes(480));
        offering.Finish.Wait = Hours(96);
        offering.Layers.Add([new Layer { DepthMm = 200 }, new Layer { DepthMm = 200, PourOffset = Hours(1.0 / 60) }, new Layer { DepthMm = 199.5, PourOffset = Hours(336) }]);

        CheckOffering.Shape(offering, SampleStudio.Name);
    }

    private static Offering Full()
    {
        var offering = SampleTeaching.TrayOffering();
        offering.Finish = new() { SessionDuration = SampleTeaching.Minutes(120), Wait = Hours(12), WithinDays = 4 };
        return offering;
    }

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
