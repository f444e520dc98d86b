using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Messaging;
using Pourwright.V1;

namespace Pourwright.Host.Demo;

/// <summary>One class on two sites, from the lots to a piece that comes back soft. Everything goes through the public API.</summary>
public sealed class DemoStory(DemoStudio studio, DemoClock clock, QuietWorker worker, TextWriter output, string folder)
{
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");
    private static readonly string[] Makers = ["Aoife", "Bram", "Chidi", "Dana", "Emre", "Farah", "Goran", "Hana"];

    /// <summary>Whom the story follows: one piece of each site.</summary>
    private const int WarmPiece = 1, ColdPiece = 7;

    private readonly Dictionary<string, Room> _rooms = new() { ["quay"] = new(20.5) { HeatedToCelsius = 20.5 }, ["mill"] = new(20) { HeatedToCelsius = 20 } };
    private readonly HashSet<string> _told = [];
    private bool _isQuayLoggerDead;

    public async Task PlayAsync()
    {
        await LotsComeInAsync();
        await ClassPoursAsync();
        await NightsPassAsync();
        await SecondSessionAsync();
        await PieceComesBackAsync();
    }

    private async Task LotsComeInAsync()
    {
        await studio.FoundAsync();
        Head("Thursday 15 October. The resin comes in.");
        await studio.ReceiveLotAsync("a-2608", Part.A, new() { Year = 2027, Month = 8, Day = 1 }, ("can-a1", "quay", 9_000_000), ("can-a2", "mill", 6_000_000));
        await studio.ReceiveLotAsync("b-2606", Part.B, new() { Year = 2027, Month = 1, Day = 15 }, ("jug", "mill", 900_000));
        await studio.ReceiveLotAsync("b-2609", Part.B, new() { Year = 2027, Month = 9, Day = 1 }, ("can-b1", "quay", 4_000_000), ("can-b2", "mill", 3_000_000));
        await studio.ReceiveLotAsync("teal-11", Part.Pigment, new() { Year = 2028, Month = 1, Day = 1 }, ("teal-q", "quay", 500_000), ("teal-m", "mill", 500_000));
        Say("Four lots, eight containers, each with its lot, site and balance to the milligram.");
        var jug = await studio.Lots.TopUpContainerAsync(new() { Name = DemoStudio.Container("jug"), Source = DemoStudio.Container("can-b2"), MassMg = 600_000, RequestId = DemoStudio.NewId() });
        Say($"At the mill somebody tops the half-empty hardener jug up from a new can: from now on it holds {jug.Lots.Count} lots, {Grams(jug.RemainingMassMg)}.");
    }

    private async Task ClassPoursAsync()
    {
        await PassToAsync(new(2026, 10, 17, 13, 0, 0), speak: false);
        Head("Saturday 17 October, 13:00. Eight students, two sites.");
        await MistakeAsync();
        for (var number = 1; number <= Makers.Length; number++)
        {
            await PourAsync(number);
            await worker.SettleAsync();
            clock.JumpTo(clock.GetUtcNow().AddMinutes(12));
        }
        Say("Eight mixes at 100 : 42, eight pours of 40 mm. The forecasts are there before the gloves are off:");
        await TellForecastsAsync();
    }

    private async Task MistakeAsync()
    {
        try
        {
            await studio.RecordMixAsync("mix-1", "quay", "Imke", 21, ("can-a1", 1_000_000), ("can-b1", 500_000), ("teal-q", 15_000));
        }
        catch (RpcException refusal)
        {
            Say("The first batch is weighed two to one, from habit. Before it is poured, the tablet says:");
            Quote(refusal.Status.Detail);
        }
    }

    private async Task PourAsync(int number)
    {
        var (site, instructor, a, b, teal) = number <= 5 ? ("quay", "Imke", "can-a1", "can-b1", "teal-q") : ("mill", "Joss", "can-a2", number <= 7 ? "jug" : "can-b2", "teal-m");
        await studio.Pieces.CreatePieceAsync(new()
        {
            Parent = DemoStudio.Name,
            PieceId = $"piece-{number}",
            RequestId = DemoStudio.NewId(),
            Piece = new()
            {
                Site = DemoStudio.Site(site),
                Label = $"{number}",
                Maker = Makers[number - 1],
                CastingClass = "River board, October",
                Mould = $"mould {number}",
                WoodSpecies = "ash",
                WoodMoisturePercent = 9.5,
                PlannedSessionTime = Timestamp.FromDateTimeOffset(At(new(2026, 10, 22, 18, 0, 0))),
            },
        });
        var room = _rooms[site];
        var mix = await studio.RecordMixAsync($"mix-{number}", site, instructor, room.TemperatureCelsius + 1, (a, 1_000_000), (b, 420_000), (teal, 15_000));
        await studio.Pieces.RecordPourAsync(new()
        {
            Parent = DemoStudio.Piece(number),
            PourId = "pour-1",
            RequestId = DemoStudio.NewId(),
            Pour = new() { Mix = mix.Name, Bench = DemoStudio.Bench(site), MassMg = 1_400_000, DepthMm = 40, Pourer = Makers[number - 1], SurfaceTemperatureCelsius = room.TemperatureCelsius },
        });
        await studio.Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = 35_000, RequestId = DemoStudio.NewId() });
    }

    private async Task NightsPassAsync()
    {
        await PassToAsync(new(2026, 10, 17, 18, 0, 0));
        Head("Everybody goes home. The quay stays heated; at the mill the heater goes off with the lights.");
        _rooms["mill"].HeatedToCelsius = null;
        await PassToAsync(new(2026, 10, 18, 10, 0, 0));
        Say("Sunday morning:");
        await TellForecastsAsync();
        await TellWhatWarmthWouldDoAsync();
        _rooms["mill"].HeatedToCelsius = 21;
        await PassToAsync(new(2026, 10, 19, 2, 0, 0));
        _isQuayLoggerDead = true;
        await PassToAsync(new(2026, 10, 19, 9, 0, 0));
        _isQuayLoggerDead = false;
        await PassToAsync(new(2026, 10, 20, 9, 0, 0));
        Say("Tuesday morning:");
        await TellForecastsAsync();
        Head("The pieces come out of their moulds, each when the forecast and a touch test agree.");
        await PassToAsync(new(2026, 10, 22, 17, 0, 0), hourly: TouchWhatIsDueAsync);
    }

    private async Task TellWhatWarmthWouldDoAsync()
    {
        var cold = await WhatIfAsync(_rooms["mill"].TemperatureCelsius);
        var warm = await WhatIfAsync(21);
        Say($"Petra asks what warmth would do: 40 mm are safe for saw and planer {cold} after the pour if the mill stays at {_rooms["mill"].TemperatureCelsius:0} °C, {warm} if it is held at 21 °C from now.");
        Say("The hottest hours are past, so the mill may be warmed: its heater goes to 21 °C.");
    }

    /// <summary>The mill as it was until now, and from now on at one temperature.</summary>
    private async Task<string> WhatIfAsync(double celsius)
    {
        PredictCureRequest.Types.RoomPoint Point(double hours, double at) => new() { Offset = Duration.FromTimeSpan(TimeSpan.FromHours(hours)), TemperatureCelsius = at };
        var prediction = await studio.Cure.PredictCureAsync(new()
        {
            ResinSystem = DemoStudio.System,
            Layers = { new PredictCureRequest.Types.Layer { DepthMm = 40, TemperatureCelsius = 21 } },
            Room = { Point(0, 20), Point(4, 20), Point(20, _rooms["mill"].TemperatureCelsius), Point(22, celsius) },
        });
        return prediction.Gates.Single(gate => gate.Gate == Gate.Handle).Safe is { } safe ? $"{safe.ToTimeSpan().TotalHours:0} h" : "not without warmth";
    }

    /// <summary>Forecast and touch test: a piece is demolded only when both say yes.</summary>
    private async Task TouchWhatIsDueAsync()
    {
        if (Local(clock.GetUtcNow()).Hour is < 9 or > 18) return;
        for (var number = 1; number <= Makers.Length; number++)
        {
            var readiness = await studio.Forecasts.GetReadinessAsync(new() { Name = DemoStudio.Piece(number) });
            if (readiness.Rungs.Single(rung => rung.Gate == Gate.Demold).State != PieceReadiness.Types.Rung.Types.State.CheckDue) continue;
            if ((await studio.Pieces.GetPieceAsync(new() { Name = DemoStudio.Piece(number) })).State != V1.Piece.Types.State.Curing) continue;
            var instructor = number <= 5 ? "Imke" : "Joss";
            await studio.TouchAsync(number, Check.Types.Touch.Firm, instructor);
            await studio.StepAsync(number, Step.Types.Kind.Demold, instructor);
            await worker.SettleAsync();
            Say($"{Clock()} {instructor} tries piece {number} at its thinnest edge: firm. Out of the mould.");
        }
    }

    private async Task SecondSessionAsync()
    {
        Head("Thursday 22 October, 18:00. The makers come back.");
        await PassToAsync(new(2026, 10, 22, 18, 0, 0));
        await TellLearnedAsync();
        await TellForecastsAsync();
        for (var number = 1; number <= Makers.Length; number++)
        {
            var instructor = number <= 5 ? "Imke" : "Joss";
            await studio.TouchAsync(number, Check.Types.Touch.Firm, instructor);
            await worker.SettleAsync();
            foreach (var kind in new[] { Step.Types.Kind.Saw, Step.Types.Kind.Plane, Step.Types.Kind.Sand, Step.Types.Kind.Finish, Step.Types.Kind.HandOver })
            {
                TellCautions(number, await studio.StepAsync(number, kind, instructor));
                clock.JumpTo(clock.GetUtcNow().AddMinutes(5));
            }
            await worker.SettleAsync();
        }
        Say("Sawn, planed, sanded, oiled and taken home. Oily rags lie flat outdoors or in a closed metal can; the safety data sheet and local code decide.");
    }

    private async Task TellLearnedAsync()
    {
        var learned = await studio.Learning.GetResinLearningAsync(new() { Name = $"{DemoStudio.System}/learning" });
        Say(string.Create(CultureInfo.InvariantCulture,
            $"Their {learned.ObservationCount} touches have taught: this resin cures at {100 * learned.Rate.LikelyRatio:0} % of the rate of its data sheet ({100 * learned.Rate.LowRatio:0} to {100 * learned.Rate.HighRatio:0} %)."));
    }

    private async Task PieceComesBackAsync()
    {
        clock.JumpTo(At(new(2026, 12, 8, 19, 30, 0)));
        Head("Tuesday 8 December, 19:30. Piece 7 comes back: soft all through.");
        await studio.Defects.ReportDefectAsync(new()
        {
            Parent = DemoStudio.Name,
            RequestId = DemoStudio.NewId(),
            Defect = new() { Piece = DemoStudio.Piece(ColdPiece), Kind = Defect.Types.Kind.Soft, Finder = "Petra", Note = "Takes a thumbnail everywhere." },
        });
        await TellTraceAsync();
        await HoldAndTellAsync();
    }

    private async Task TellTraceAsync()
    {
        var text = (await PrintAsync(DemoStudio.Piece(ColdPiece), PrintTraceRequest.Types.Format.Text)).ToStringUtf8();
        Say("The trace leads back to its lots and to every sister:");
        Quote(text[..text.IndexOf("FORECAST, AND WHAT WAS SEEN", StringComparison.Ordinal)]);
        await File.WriteAllTextAsync(Path.Combine(folder, "trace-piece-7.txt"), text);
        var page = Path.Combine(folder, "trace-piece-7.pdf");
        await File.WriteAllBytesAsync(page, (await PrintAsync(DemoStudio.Piece(ColdPiece), PrintTraceRequest.Types.Format.Pdf)).ToByteArray());
        Say($"With the forecasts, the climate and all that was seen and done, as a page for the supplier: {page}");
    }

    private async Task HoldAndTellAsync()
    {
        await studio.Lots.HoldLotAsync(new() { Name = $"{DemoStudio.Name}/lots/b-2606", Reason = "piece 7 is soft", RequestId = DemoStudio.NewId() });
        try
        {
            await studio.RecordMixAsync("mix-9", "mill", "Joss", 20, ("can-a2", 1_000_000), ("jug", 420_000));
        }
        catch (RpcException refusal)
        {
            Say("Hold first, argue cause after. The next mix from the jug is refused:");
            Quote(refusal.Status.Detail);
        }
        var lot = await studio.Traces.TraceLotAsync(new() { Name = $"{DemoStudio.Name}/lots/b-2606" });
        Say($"Lot B-2606 went into {lot.Pieces.Count} pieces: {string.Join(", ", lot.Pieces.Select(piece => $"{piece.Piece.Label} ({piece.Holder})"))}.");
        var account = lot.Account;
        Say($"Of {Grams(account.ReceivedMassMg)} received, {Grams(account.PouredMassMg)} are in pieces, {Grams(account.DiscardedMassMg)} thrown away, {Grams(account.RemainingMassMg)} left on hold, {Grams(account.UnexplainedMassMg)} unexplained.");
    }

    private async Task<Google.Protobuf.ByteString> PrintAsync(string name, PrintTraceRequest.Types.Format format) =>
        (await studio.Traces.PrintTraceAsync(new() { Name = name, Format = format })).Data;

    /// <summary>Hour by hour: rooms change, loggers report, the worker works, reminders arrive.</summary>
    private async Task PassToAsync(DateTime localEnd, bool speak = true, Func<Task>? hourly = null)
    {
        for (var end = At(localEnd); clock.GetUtcNow() < end;)
        {
            var before = clock.GetUtcNow();
            clock.JumpTo(before.AddHours(1) < end ? before.AddHours(1) : end);
            foreach (var room in _rooms.Values) room.Pass(clock.GetUtcNow() - before, Local(clock.GetUtcNow()));
            await ReportReadingsAsync();
            await worker.SettleAsync();
            if (speak) await TellRemindersAsync();
            if (hourly is not null) await hourly();
        }
    }

    private async Task ReportReadingsAsync()
    {
        foreach (var (site, room) in _rooms)
        {
            if (site == "quay" && _isQuayLoggerDead) continue;
            await studio.Climate.RecordReadingsAsync(new()
            {
                Parent = DemoStudio.Site(site),
                RequestId = DemoStudio.NewId(),
                Readings =
                {
                    new Reading
                    {
                        Sensor = DemoStudio.Sensor(site),
                        ReadingTime = Timestamp.FromDateTimeOffset(clock.GetUtcNow()),
                        TemperatureCelsius = Math.Round(room.TemperatureCelsius, 1),
                        RelativeHumidityPercent = Math.Round(room.RelativeHumidityPercent),
                    },
                },
            });
        }
    }

    private async Task TellRemindersAsync()
    {
        var sent = await studio.Reminders.ListRemindersAsync(new() { Parent = DemoStudio.Name, State = Reminder.Types.State.Sent, PageSize = 500 });
        foreach (var reminder in sent.Reminders.Where(reminder => _told.Add(reminder.Name)))
            output.WriteLine($"  {Clock()} to the {reminder.RecipientRole.ToString().ToLowerInvariant()}: {reminder.Text}");
    }

    private async Task TellForecastsAsync()
    {
        foreach (var number in new[] { WarmPiece, ColdPiece })
        {
            var site = number <= 5 ? "quay" : "mill";
            var forecast = await studio.Forecasts.GetForecastAsync(new() { Name = $"{DemoStudio.Piece(number)}/forecasts/latest" });
            output.WriteLine(
                $"    piece {number} ({site}, {_rooms[site].TemperatureCelsius:0.0} °C): demold safe {When(forecast, Gate.Demold)}, saw and planer safe {When(forecast, Gate.Handle)}; peak {forecast.Peak.LowCelsius:0}–{forecast.Peak.HighCelsius:0} °C; revision {Last(forecast.Name)}");
        }
    }

    private void TellCautions(int number, Step step)
    {
        foreach (var caution in step.Cautions) Say($"piece {number}, {step.Kind.ToString().ToLowerInvariant()}: {caution.Text}");
    }

    private static string When(Forecast forecast, Gate gate) =>
        forecast.Gates.Single(g => g.Gate == gate).SafeTime is { } time ? Local(time.ToDateTimeOffset()).ToString("ddd HH:mm", CultureInfo.InvariantCulture) : "not without warmth";

    private static DateTimeOffset At(DateTime local) => new(local, Zone.GetUtcOffset(local));

    private static DateTimeOffset Local(DateTimeOffset instant) => TimeZoneInfo.ConvertTime(instant, Zone);

    private string Clock() => Local(clock.GetUtcNow()).ToString("ddd HH:mm", CultureInfo.InvariantCulture);

    private static string Grams(long massMg) => string.Create(CultureInfo.InvariantCulture, $"{massMg / 1000.0:0.#} g");

    private static string Last(string name) => name[(name.LastIndexOf('/') + 1)..];

    private void Head(string text) => output.WriteLine($"\n{text}");

    private void Say(string text) => output.WriteLine($"  {text}");

    private void Quote(string text)
    {
        foreach (var line in text.TrimEnd().Split('\n')) output.WriteLine($"    | {line}");
    }
}
