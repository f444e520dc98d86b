using System.Globalization;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Messaging;
using Pourwright.V1;
using Answer = Pourwright.V1.RecallNotice.Types.Answer;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;
using Grade = Pourwright.V1.Suspect.Types.Grade;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Host.Demo;

/// <summary>What the owner sees of a season: an alarm, a suspicion, a recall, the pages. Everything goes through the public API.</summary>
public sealed class DemoSeason(SeasonStudio studio, SeasonPlan plan, DemoClock clock, QuietWorker worker, TextWriter output, string folder)
{
    private const string RecallId = "recall-winter", DrillId = "drill-winter";

    /// <summary>From the alarm to the second question: by then the other classes of the week have had their machine day.</summary>
    private const int DaysToAskAgain = 7;

    private readonly SeasonDays _days = new(studio, plan, clock, worker);
    private readonly HashSet<string> _told = [];
    private readonly long _started = TimeProvider.System.GetTimestamp();
    private DateOnly? _alarmDay;
    private string? _suspectLot;

    public async Task PlayAsync()
    {
        clock.JumpTo(SeasonClock.At(SeasonPlan.FirstDay.AddDays(-7), 8));
        await studio.FoundAsync(plan);
        Head($"{SeasonClock.Says(SeasonPlan.FirstDay)} 2027. Kelpworks opens its winter: three sites, six instructors, {plan.Classes.Count} classes, {plan.Pieces} trays in {SeasonPlan.Weeks} weeks.");
        Say("Six lots stand on the shelves. The loft is three degrees colder than the other two sites. Makers come back two weeks after they poured. Loggers are read out on Mondays; touches are felt, not written down: only what is wrong is.");
        var last = plan.Classes.Max(held => held.MachineDay).AddDays(14);
        for (var day = SeasonPlan.FirstDay; day <= last; day = day.AddDays(1)) await DayAsync(day);
        await SumUpAsync();
    }

    private async Task DayAsync(DateOnly day)
    {
        await _days.PassAsync(day);
        if (SeasonDays.IsSweepDay(day)) await HearAlarmsAsync(day);
        if (day == _alarmDay?.AddDays(DaysToAskAgain)) await AskAgainAsync(day);
        if (_alarmDay is { } alarm && day > alarm.AddDays(DaysToAskAgain) && day <= alarm.AddDays(DaysToAskAgain + 5)) await HearAnswersAsync(day.DayNumber - alarm.DayNumber - DaysToAskAgain);
    }

    private async Task HearAlarmsAsync(DateOnly day)
    {
        var alarms = (await SentAsync()).Where(reminder => reminder.Kind == Reminder.Types.Kind.DefectAlarm && _told.Add(reminder.Name)).ToList();
        if (alarms.Count == 0) return;
        Head($"{SeasonClock.Says(day)}, evening; {_days.Poured} trays poured, {_days.SentHome} gone home, {_days.Defects} defects reported so far. The watch calls the owner:");
        Quote(alarms[0].Text);
        if (alarms.Count > 1) Say($"And {alarms.Count - 1} more of the same evening, at {string.Join(" and ", alarms.Skip(1).Select(alarm => SeasonStudio.Called(alarm.Site.Split('/')[^1])).Distinct())}.");
        if (_alarmDay is null) await AskFirstAsync(day);
    }

    private async Task<IReadOnlyList<Reminder>> SentAsync()
    {
        var (page, all) = (new ListRemindersRequest { Parent = SeasonStudio.Name, State = Reminder.Types.State.Sent, PageSize = 500 }, new List<Reminder>());
        do
        {
            var sent = await studio.Reminders.ListRemindersAsync(page);
            all.AddRange(sent.Reminders);
            page.PageToken = sent.NextPageToken;
        }
        while (page.PageToken.Length > 0);
        return all;
    }

    /// <summary>Asks what the soft ones share, and holds the lot that leads, whatever the grade: to wait costs a can.</summary>
    private async Task AskFirstAsync(DateOnly day)
    {
        var ranking = await RankAsync();
        Say($"{SeasonStudio.Owner} asks what the soft ones share:");
        Quote(ranking.Summary);
        var leads = ranking.Suspects.FirstOrDefault(suspect => suspect.Level.Factor is SuspectFactor.LotA or SuspectFactor.LotB or SuspectFactor.Container);
        if (leads is null || leads.Counts.WithDefectiveCount < 3 || 3 * leads.Counts.WithDefectiveCount < leads.Counts.WithCount) return;
        (_alarmDay, _suspectLot) = (day, await LotOfAsync(leads.Level));
        await studio.Lots.HoldLotAsync(new() { Name = SeasonStudio.Lot(_suspectLot), Reason = "soft pieces, cause not known", RequestId = SeasonStudio.NewId() });
        Say($"On the shelves {leads.Level.Level} leads, {leads.Counts.WithDefectiveCount} soft of {leads.Counts.WithCount} against {leads.Counts.WithoutDefectiveCount} of {leads.Counts.WithoutCount} ({Of(leads.Grade)}). Hold first, argue the cause after: lot {_suspectLot} is held that evening.");
        await HoldSistersAsync();
    }

    /// <summary>What shares a mix with the newest soft tray.</summary>
    private async Task HoldSistersAsync()
    {
        var all = await studio.Defects.ListDefectsAsync(new() { Parent = SeasonStudio.Name, PageSize = 500 });
        var newest = all.Defects.Where(defect => defect.Kind == Kind.Soft).MaxBy(defect => defect.FindTime.ToDateTimeOffset())!;
        var held = await studio.Recalls.HoldSistersAsync(new() { Name = newest.Name, Level = HoldSistersRequest.Types.Level.Mix, Person = SeasonStudio.Owner, RequestId = SeasonStudio.NewId() });
        Say($"So are the trays that share a mix with the newest soft one: {held.Pieces.Count} held, {held.HandedOver.Count} with their makers.");
    }

    private async Task<string> LotOfAsync(SuspectLevel level) => level.Factor != SuspectFactor.Container
        ? level.Level
        : (await studio.Lots.GetContainerAsync(new() { Name = level.Resource })).Lots[0].Split('/')[^1];

    private async Task AskAgainAsync(DateOnly day)
    {
        Head($"{SeasonClock.Says(day)}. The other classes of the week have had their machine day; {_days.Poured} trays poured, {_days.Defects} defects reported. Asked again:");
        var ranking = await RankAsync();
        Quote(ranking.Summary);
        foreach (var suspect in ranking.Suspects.Where(suspect => suspect.RankCount > 0)) Quote(suspect.Text);
        TellOfInstructor(ranking);
        await RecallAsync();
    }

    private async Task RecallAsync()
    {
        var request = new StartRecallRequest
        {
            Parent = SeasonStudio.Name, RecallId = RecallId, Starter = SeasonStudio.Owner, Scope = new() { Name = SeasonStudio.Lot(_suspectLot!) }, RequestId = SeasonStudio.NewId(),
            Reason = "Some trays with this hardener are soft. Nobody knows yet why.",
        };
        var recall = await studio.Recalls.StartRecallAsync(request);
        Head($"{SeasonStudio.Owner} starts a recall of lot {_suspectLot}. List complete in {Seconds(recall.Status.ListTime - recall.Status.StartTime)}, all held in {Seconds(recall.Status.HoldTime - recall.Status.StartTime)}:");
        Say($"{recall.Status.PieceCount} trays, {recall.Status.HandedOverCount} of them with their makers; {Grams(recall.Status.StockMassMg)} of stock; {recall.Status.PersonCount} people to tell, {recall.Status.ReachableCount} of them with a way to be written to.");
        foreach (var gap in recall.Gaps) Say($"Gap: {gap}");
        foreach (var stock in recall.List.Stock)
            await studio.Lots.WeighBackContainerAsync(new() { Name = stock.Container, RemainingMassMg = stock.RemainingMassMg - 3_000, RequestId = SeasonStudio.NewId() });
        await worker.SettleAsync();
        var masses = await studio.Recalls.GetReconciliationAsync(new() { Name = SeasonStudio.Lot(_suspectLot!) });
        Say($"Its drums are weighed back. Of {Grams(masses.ReceivedMassMg)} received {Grams(masses.UsedMassMg)} went into mixes and {Grams(masses.LeftMassMg)} are left; {Grams(masses.UnexplainedMassMg)} unexplained, {Grams(masses.ToleranceMassMg)} lie within what {masses.WeighingCount} weighings leave open.");
        await PrintDefectAsync(recall);
    }

    private async Task PrintDefectAsync(Recall recall)
    {
        var pieces = recall.List.Pieces.Select(piece => piece.Piece).ToHashSet();
        var all = await studio.Defects.ListDefectsAsync(new() { Parent = SeasonStudio.Name, PageSize = 500 });
        var defect = all.Defects.First(defect => defect.Kind == Kind.Soft && pieces.Contains(defect.Piece));
        var page = await SaveAsync("defect-report.pdf", (await studio.Reports.PrintDefectAsync(new() { Name = defect.Name, Format = Format.Pdf })).Data);
        Say($"The first soft tray of the lot on one page: {page}");
    }

    /// <summary>Two in three answer on the first evenings; one in ten is away for good.</summary>
    private async Task HearAnswersAsync(int evening)
    {
        var recall = await studio.Recalls.GetRecallAsync(new() { Name = $"{SeasonStudio.Name}/recalls/{RecallId}" });
        foreach (var notice in recall.Notices.Where(notice => notice.Answer == Answer.Unspecified && notice.TellTime is not null && plan.Chance(evening < 3 ? 0.5 : 0.3)))
            await studio.Recalls.AcknowledgeRecallNoticeAsync(new()
            {
                Name = notice.Name, Person = SeasonStudio.Owner, RequestId = SeasonStudio.NewId(),
                Answer = notice.Role == RecallNotice.Types.Role.Maker && plan.Chance(0.7) ? Answer.Returned : Answer.Kept,
            });
        await worker.SettleAsync();
        if (evening != 5) return;
        var status = (await studio.Recalls.GetRecallAsync(new() { Name = recall.Name })).Status;
        Say($"Five days later {status.ToldCount} of {status.PersonCount} are told and {status.AnsweredCount} have answered. The others are on the list; what has no address needs a call.");
        Say($"Recall list: {await SaveAsync("recall.pdf", (await studio.Recalls.PrintRecallAsync(new() { Name = recall.Name, Format = Format.Pdf })).Data)}");
    }

    private async Task SumUpAsync()
    {
        Head($"The season is over: {_days.Poured} trays poured, {_days.SentHome} gone home, {_days.Defects} defects reported.");
        var ranking = await RankAsync();
        Quote(ranking.Summary);
        TellOfInstructor(ranking);
        await DrillAsync();
        var season = await studio.Reports.PrintSeasonAsync(new()
        {
            Parent = SeasonStudio.Name, StartTime = Timestamp.FromDateTimeOffset(SeasonClock.At(SeasonPlan.FirstDay, 0)), EndTime = Timestamp.FromDateTimeOffset(clock.GetUtcNow()), Format = Format.Pdf,
        });
        Say($"The season on one page: {await SaveAsync("season.pdf", season.Data)}");
        Head("What this cannot say:");
        Say("Why the lot is bad: counts find what soft trays share, not what happened to it. A lot that spoils one in three would mostly have gone unseen.");
        Say("What nobody wrote down. The season is invented, its faults were planted, and whoever planted them wrote the method as well.");
        Say(string.Create(CultureInfo.InvariantCulture, $"Played in {TimeProvider.System.GetElapsedTime(_started).TotalSeconds:0} s."));
    }

    private async Task DrillAsync()
    {
        var drill = await studio.Recalls.StartDrillAsync(new()
        {
            Parent = SeasonStudio.Name, RecallId = DrillId, Starter = SeasonStudio.Owner, Scope = new() { Name = SeasonStudio.Lot("b-2701") }, RequestId = SeasonStudio.NewId(),
        });
        var met = drill.DrillProof.Met ? "the way back from one of them meets the way forward" : "THE WAY BACK CONTRADICTS THE WAY FORWARD";
        Say($"A drill on the good lot b-2701: {drill.Status.PieceCount} trays found in {Seconds(drill.Status.ListTime - drill.Status.StartTime)}, {met}; nobody told, nothing held.");
        Say($"Certificate: {await SaveAsync("drill-certificate.pdf", (await studio.Recalls.PrintRecallAsync(new() { Name = drill.Name, Format = Format.Pdf })).Data)}");
    }

    /// <summary>The instructor with most soft trays: blamed, cleared or neither, in the words of the counts.</summary>
    private void TellOfInstructor(SuspectRanking ranking)
    {
        var instructor = ranking.Suspects.FirstOrDefault(suspect => suspect.Level.Factor == SuspectFactor.Instructor);
        if (instructor is null)
        {
            Say("No instructor is among the first twenty suspects.");
            return;
        }
        var (all, left) = (instructor.Counts, instructor.RemainingCounts);
        Say($"Instructor {SeasonStudio.Called(instructor.Level.Level)} taught {all.WithDefectiveCount} of the soft ones among {all.WithCount}. Without the trays of what stands out before: {left.WithDefectiveCount} of {left.WithCount} against {left.WithoutDefectiveCount} of {left.WithoutCount} of the others: {Of(instructor.Grade)}. {(instructor.Grade == Grade.TooLittle ? "Nobody is blamed, and nobody is cleared." : "A matter of its own, and a weaker one: look at how the work is done, before anybody is blamed.")}");
    }

    private async Task<SuspectRanking> RankAsync() => await studio.Suspects.RankSuspectsAsync(new() { Parent = SeasonStudio.Name, Kinds = { Kind.Soft } });

    private async Task<string> SaveAsync(string name, ByteString page)
    {
        var path = Path.Combine(folder, name);
        await File.WriteAllBytesAsync(path, page.ToByteArray());
        return path;
    }

    private static string Of(Grade grade) => grade switch { Grade.Strong => "strong", Grade.Some => "some", _ => "too little to say" };

    private static string Seconds(Duration span) => span.ToTimeSpan().TotalSeconds.ToString("0.00 s", CultureInfo.InvariantCulture);

    private static string Grams(long massMg) => string.Create(CultureInfo.InvariantCulture, $"{massMg / 1000.0:#,0.#} g");

    private void Head(string text) => output.WriteLine($"\n{text}");

    private void Say(string text) => output.WriteLine($"  {text}");

    private void Quote(string text) => output.WriteLine($"    | {text}");
}
