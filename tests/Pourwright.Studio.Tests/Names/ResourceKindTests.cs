using Pourwright.Studio.Names;

namespace Pourwright.Studio.Tests.Names;

public sealed class ResourceKindTests
{
    [Theory]
    [InlineData("Studio", "studios/{studio}", "studios/elm")]
    [InlineData("Site", "studios/{studio}/sites/{site}", "studios/elm/sites/north")]
    [InlineData("Bench", "studios/{studio}/sites/{site}/benches/{bench}", "studios/elm/sites/north/benches/b-1")]
    [InlineData("Sensor", "studios/{studio}/sites/{site}/sensors/{sensor}", "studios/elm/sites/north/sensors/s-1")]
    [InlineData("ResinSystem", "studios/{studio}/resinSystems/{resin_system}", "studios/elm/resinSystems/deep-clear")]
    [InlineData("Room", "studios/{studio}/sites/{site}/rooms/{room}", "studios/elm/sites/north/rooms/hall")]
    [InlineData("Station", "studios/{studio}/sites/{site}/stations/{station}", "studios/elm/sites/north/stations/planer")]
    [InlineData("Outage", "studios/{studio}/sites/{site}/outages/{outage}", "studios/elm/sites/north/outages/o-1")]
    [InlineData("Offering", "studios/{studio}/offerings/{offering}", "studios/elm/offerings/river-board")]
    [InlineData("Instructor", "studios/{studio}/instructors/{instructor}", "studios/elm/instructors/ana")]
    [InlineData("Absence", "studios/{studio}/instructors/{instructor}/absences/{absence}", "studios/elm/instructors/ana/absences/a-1")]
    [InlineData("Lot", "studios/{studio}/lots/{lot}", "studios/elm/lots/a-2026-03")]
    [InlineData("Container", "studios/{studio}/containers/{container}", "studios/elm/containers/can-7")]
    [InlineData("Mix", "studios/{studio}/mixes/{mix}", "studios/elm/mixes/mix-7k3f-9qtm")]
    [InlineData("Piece", "studios/{studio}/pieces/{piece}", "studios/elm/pieces/tray")]
    [InlineData("Pour", "studios/{studio}/pieces/{piece}/pours/{pour}", "studios/elm/pieces/tray/pours/p-1")]
    [InlineData("Check", "studios/{studio}/pieces/{piece}/checks/{check}", "studios/elm/pieces/tray/checks/c-1")]
    [InlineData("Step", "studios/{studio}/pieces/{piece}/steps/{step}", "studios/elm/pieces/tray/steps/s-1")]
    [InlineData("Forecast", "studios/{studio}/pieces/{piece}/forecasts/{forecast}", "studios/elm/pieces/tray/forecasts/f-1")]
    [InlineData("Reminder", "studios/{studio}/reminders/{reminder}", "studios/elm/reminders/r-1")]
    [InlineData("Defect", "studios/{studio}/defects/{defect}", "studios/elm/defects/d-1")]
    [InlineData("CastingClass", "studios/{studio}/classes/{casting_class}", "studios/elm/classes/boards")]
    [InlineData("Session", "studios/{studio}/classes/{casting_class}/sessions/{session}", "studios/elm/classes/boards/sessions/pour")]
    [InlineData("PrepTask", "studios/{studio}/classes/{casting_class}/tasks/{prep_task}", "studios/elm/classes/boards/tasks/mould-build")]
    [InlineData("Student", "studios/{studio}/students/{student}", "studios/elm/students/s-1")]
    [InlineData("Enrolment", "studios/{studio}/classes/{casting_class}/enrolments/{enrolment}", "studios/elm/classes/boards/enrolments/e-1")]
    [InlineData("Mould", "studios/{studio}/sites/{site}/moulds/{mould}", "studios/elm/sites/north/moulds/tray")]
    [InlineData("Plan", "studios/{studio}/plans/{plan}", "studios/elm/plans/season")]
    public void Kind_NameOfItsPattern_MatchesItAndNoOther(string type, string pattern, string name)
    {
        var kind = Assert.Single(ResourceKind.All, k => k.Type == type);
        Assert.Equal(pattern, kind.Pattern);
        Assert.Equal([kind], ResourceKind.All.Where(k => k.Matches(name)));
        Assert.Equal(name, kind.Under(ResourceNames.ParentOf(name), ResourceNames.IdOf(name)));
    }

    [Theory]
    [InlineData("")]
    [InlineData("studios/elm")]
    [InlineData("studios/elm/lots")]
    [InlineData("studios/elm/lots/")]
    [InlineData("studios//lots/a-1")]
    [InlineData("/studios/elm/lots/a-1")]
    [InlineData("studios/elm/lots/a-1/")]
    [InlineData("studios/elm/Lots/a-1")]
    [InlineData("studios/elm/mixes/a-1")]
    [InlineData("studios/elm/lots/A-1")]
    [InlineData("studios/elm/lots/a-1/x/y")]
    [InlineData("studios/elm/lots/a 1")]
    [InlineData("studios/elm/lots/a-1\n")]
    [InlineData("studios/elm/lots/ä-1")]
    public void Matches_NotALot_IsFalse(string name) => Assert.False(ResourceKind.Lot.Matches(name));

    // [a-z][a-z0-9-]{2,62}: 3 to 63 characters.
    [Theory]
    [InlineData("abc", true)]
    [InlineData("a--", true)]
    [InlineData("ab", false)]
    [InlineData("1ab", false)]
    [InlineData("-ab", false)]
    [InlineData("aBc", false)]
    [InlineData("a_c", false)]
    [InlineData("ab٣", false)]
    public void IsId_Rule_IsKept(string id, bool expected) => Assert.Equal(expected, ResourceNames.IsId(id));

    [Fact]
    public void IsId_Length_Is3To63()
    {
        Assert.True(ResourceNames.IsId("a" + new string('b', 62)));
        Assert.False(ResourceNames.IsId("a" + new string('b', 63)));
    }

    [Fact]
    public void NewId_EveryKind_IsAnIdOfPlainCharacters()
    {
        foreach (var kind in ResourceKind.All)
        {
            var id = kind.NewId();
            Assert.True(ResourceNames.IsId(id), id);
            Assert.StartsWith($"{kind.Type.ToLowerInvariant()}-", id, StringComparison.Ordinal);
            Assert.DoesNotContain(id.Split('-', 2)[1], c => "01ilouv".Contains(c, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void NewId_TenThousand_AreAllDifferent() =>
        // 10,000^2 / 2 pairs over 29^8 ids: the chance of a clash is 1e8 / 2 / 5.0e11 = 1e-4.
        Assert.Equal(10_000, Enumerable.Range(0, 10_000).Select(_ => ResourceKind.Piece.NewId()).Distinct().Count());

    [Theory]
    [InlineData("studios/elm", "", "elm", "studios/elm")]
    [InlineData("studios/elm/lots/a-1", "studios/elm", "a-1", "studios/elm")]
    [InlineData("studios/elm/sites/north/benches/b-1", "studios/elm/sites/north", "b-1", "studios/elm")]
    public void Parts_OfAName_AreFound(string name, string parent, string id, string studio)
    {
        Assert.Equal(parent, ResourceNames.ParentOf(name));
        Assert.Equal(id, ResourceNames.IdOf(name));
        Assert.Equal(studio, ResourceNames.StudioOf(name));
    }

    [Fact]
    public void SiteOf_Bench_IsItsSite() =>
        Assert.Equal("studios/elm/sites/north", ResourceNames.SiteOf("studios/elm/sites/north/benches/b-1"));

    [Theory]
    [InlineData("studios/elm/lots/a-1", "studios/elm", true)]
    [InlineData("studios/elmwood/lots/a-1", "studios/elm", false)]
    [InlineData("studios/elm", "studios/elm", false)]
    [InlineData("studios/oak/lots/a-1", "studios/elm", false)]
    public void IsUnder_Parent_EndsAtASlash(string name, string parent, bool expected) =>
        Assert.Equal(expected, ResourceNames.IsUnder(name, parent));

    [Fact]
    public void Under_BadId_Throws() => Assert.Throws<ArgumentException>(() => ResourceKind.Lot.Under("studios/elm", "A"));

    [Fact]
    public void PatternUnder_Parent_FillsItsIds() =>
        Assert.Equal("studios/elm/resinSystems/{resin_system}", ResourceKind.ResinSystem.PatternUnder("studios/elm"));

    [Fact]
    public void NotFound_Kind_CarriesItsOwnReason()
    {
        foreach (var kind in ResourceKind.All)
        {
            var stem = kind.NotFound("x").Reason.Replace("_NOT_FOUND", "", StringComparison.Ordinal);
            Assert.Equal(kind.Type.ToUpperInvariant(), stem.Replace("_", "", StringComparison.Ordinal));
            Assert.Equal($"{stem}_EXISTS", kind.AlreadyExists("x").Reason);
        }
    }
}
