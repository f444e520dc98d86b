using Google.Type;
using Grpc.Net.Client;
using Pourwright.V1;
using Date = Google.Type.Date;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Testing;

/// <summary>Four classes whose two days lie around a clock change: Hof in Berlin's zone and Pier in New York's, in spring and autumn of 2026.</summary>
/// <remarks>Mia has a seat in the first and the last of them, Tom in the first. Ana teaches at Hof, Rui at Pier.</remarks>
public static class SampleSeason
{
    public const string Hof = "studios/alder/sites/hof";
    public const string Pier = "studios/alder/sites/pier";
    public const string HofSpring = "studios/alder/classes/hof-spring";
    public const string HofAutumn = "studios/alder/classes/hof-autumn";
    public const string PierSpring = "studios/alder/classes/pier-spring";
    public const string PierAutumn = "studios/alder/classes/pier-autumn";
    public const string Mia = "studios/alder/students/mia";
    public const string Tom = "studios/alder/students/tom";

    /// <summary>Adds to a studio that has neither sites nor offerings of these names.</summary>
    public static async Task CreateAsync(GrpcChannel channel)
    {
        await SampleStudio.CreateAsync(channel);
        await SampleTeaching.CreateAsync(channel);
        await CreateSiteAsync(channel, "hof", "Europe/Berlin");
        await CreateSiteAsync(channel, "pier", "America/New_York");
        await CreateClassAsync(channel, HofSpring, Hof, SampleTeaching.Ana, new(2026, 3, 28));
        await CreateClassAsync(channel, PierSpring, Pier, SampleTeaching.Rui, new(2026, 3, 7));
        await CreateClassAsync(channel, HofAutumn, Hof, SampleTeaching.Ana, new(2026, 10, 24));
        await CreateClassAsync(channel, PierAutumn, Pier, SampleTeaching.Rui, new(2026, 10, 31));
        await EnrolAsync(channel, Mia, "Mia Ola", HofSpring, PierAutumn);
        await EnrolAsync(channel, Tom, "Tom Reed", HofSpring);
    }

    /// <summary>Pour at 10:00 on a day, machine day at 09:00 two days later, by the clock of the site.</summary>
    public static async Task ScheduleAsync(GrpcChannel channel, string castingClass, string site, string instructor, DateOnly pourDay, string reason) =>
        await new ClassService.ClassServiceClient(channel).ScheduleSessionsAsync(new()
        {
            Name = castingClass,
            Reason = reason,
            Sessions = { At(Kind.Pour, site, instructor, pourDay, 10), At(Kind.Machine, site, instructor, pourDay.AddDays(2), 9) },
        });

    private static SessionTime At(Kind kind, string site, string instructor, DateOnly day, int hours) => new()
    {
        Kind = kind,
        Site = site,
        Bench = $"{site}/benches/shelf",
        Instructor = instructor,
        Date = ToDate(day),
        StartTimeOfDay = new() { Hours = hours },
        SessionDuration = SampleTeaching.Minutes(240),
    };

    private static async Task CreateSiteAsync(GrpcChannel channel, string id, string zone)
    {
        var sites = new SiteService.SiteServiceClient(channel);
        var site = await sites.CreateSiteAsync(new()
        {
            Parent = SampleStudio.Name,
            SiteId = id,
            Site = new()
            {
                DisplayName = $"{char.ToUpperInvariant(id[0])}{id[1..]} Hall",
                TimeZone = zone,
                Contacts = { new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Olive", Email = "olive@alder.example" } },
            },
        });
        await sites.CreateBenchAsync(new() { Parent = site.Name, BenchId = "shelf", Bench = new() { DisplayName = "Long shelf" } });
    }

    private static async Task CreateClassAsync(GrpcChannel channel, string name, string site, string instructor, DateOnly pourDay)
    {
        var id = name.Split('/')[^1];
        await new ClassService.ClassServiceClient(channel).CreateCastingClassAsync(new()
        {
            Parent = SampleStudio.Name,
            CastingClassId = id,
            CastingClass = new()
            {
                DisplayName = $"Trays {id}", Offering = SampleTeaching.Tray, Sites = { site },
                FirstDate = ToDate(pourDay), LastDate = ToDate(pourDay.AddDays(14)),
            },
        });
        await ScheduleAsync(channel, name, site, instructor, pourDay, "");
    }

    private static async Task EnrolAsync(GrpcChannel channel, string name, string displayName, params string[] classes)
    {
        var students = new StudentService.StudentServiceClient(channel);
        var id = name.Split('/')[^1];
        await students.CreateStudentAsync(new()
        {
            Parent = SampleStudio.Name,
            StudentId = id,
            Student = new() { DisplayName = displayName, ContactEmail = $"{id}@post.example", ConsentToMessages = true },
        });
        foreach (var castingClass in classes)
            await students.EnrolStudentAsync(new() { Parent = castingClass, Student = name, EnrolmentId = id });
    }

    private static Date ToDate(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };
}
