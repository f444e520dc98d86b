using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>How far a call reaches.</summary>
public enum Reach
{
    /// <summary>Things it names, and lists of them: a key of some sites is shown those of its sites, and what is of no site.</summary>
    Site,

    /// <summary>An answer about the whole studio, from which no site could be left out: not for keys of some sites.</summary>
    Studio,

    /// <summary>Every studio of the node: for the keys of its owner.</summary>
    Node,

    /// <summary>Whoever calls, without a key.</summary>
    Anyone,
}

/// <summary>Who may make a call: every role of the house from <paramref name="From"/> to the owner, or students and nobody else.</summary>
public sealed record Policy(string Method, Role From, Reach Reach)
{
    public bool Allows(Role role) => From == Role.Student ? role == Role.Student : role.IsAtLeast(From);
}

/// <summary>The order of roles.</summary>
internal static class RoleOrder
{
    /// <summary>Whether a role of the house is another or above it; a student's is none of the house, whatever its number.</summary>
    public static bool IsAtLeast(this Role role, Role from) => role is >= Role.Device and <= Role.Owner && role >= from;
}

/// <summary>What a node goes by.</summary>
public sealed class PolicyTable(IReadOnlyDictionary<string, Policy> policies)
{
    /// <summary>Null for a call of which nothing is said.</summary>
    public Policy? Of(string method) => policies.GetValueOrDefault(method);
}

/// <summary>Who may call what. A call that is not in the table is refused, and a test fails for it.</summary>
public static class Policies
{
    /// <summary>The least role, how far it reaches, and the calls.</summary>
    private const string Table =
        """
        AccessService
          device      site    GetIdentity
          owner       studio  CreateAccessKey GetAccessKey ListAccessKeys RevokeAccessKey
        StudentLinkService
          instructor  site    CreateStudentLink GetStudentLink ListStudentLinks RevokeStudentLink
        OwnPageService
          student     site    GetOwnPage
        AuditService
          owner       studio  ListAuditEntries
        PrivacyService
          instructor  site    SetHealthNote GetHealthNote
          owner       studio  ExportPerson ErasePerson ListErasureProposals
        StudioService
          device      site    GetStudio ListStudios
          owner       node    CreateStudio
        SiteService
          device      site    GetSite ListSites GetBench ListBenches GetSensor ListSensors GetRoom ListRooms GetStation ListStations
          assistant   site    GetOutage ListOutages ListTravelTimes
          lead        site    UpdateSite CreateBench UpdateBench CreateSensor CreateRoom UpdateRoom DeleteRoom
          lead        site    CreateStation UpdateStation DeleteStation CreateOutage DeleteOutage
          lead        studio  SetTravelTime
          owner       studio  CreateSite
        ResinService
          device      site    GetResinSystem ListResinSystems GetResinCalibration
          lead        studio  CreateResinSystem
        OfferingService
          device      site    GetOffering ListOfferings
          lead        studio  CreateOffering UpdateOffering
        InstructorService
          assistant   site    GetInstructor ListInstructors
          instructor  site    GetAbsence ListAbsences
          lead        site    CreateInstructor UpdateInstructor CreateAbsence DeleteAbsence
        LotService
          device      site    GetLot ListLots GetContainer ListContainers
          device      site    OpenContainer DecantContainer TopUpContainer WeighBackContainer HoldContainer
          assistant   site    ReceiveLot HoldLot MoveContainer DiscardContainer
          lead        site    ReleaseContainer
          lead        studio  ReleaseLot
        MixService
          device      site    RecordMix GetMix ListMixes DiscardMix CorrectMix
        PieceService
          device      site    CreatePiece GetPiece ListPieces RecordPour GetPour ListPours RecordCheck ListChecks RecordStep ListSteps
          device      site    HoldPiece CorrectPour
          lead        site    ReleasePiece
        ClimateService
          device      site    RecordReadings StreamReadings ListReadings GetBenchClimate GetBenchOutlook
          assistant   site    SetBenchOutlook
        CureService
          device      site    PredictCure
        ForecastService
          device      site    GetForecast ListForecasts GetReadiness WatchReadiness
        LearningService
          instructor  site    GetResinLearning
        AdviceService
          device      site    PlanPour AskWhatIf PlanSecondDay
        ReminderService
          device      site    GetReminder ListReminders AcknowledgeReminder WatchReminders
        ClassService
          device      site    GetCastingClass ListCastingClasses GetSession ListSessions GetPrepTask ListPrepTasks CompletePrepTask
          device      site    CloseSession
          lead        site    CreateCastingClass UpdateCastingClass CancelCastingClass ScheduleSessions
        StudentService
          instructor  site    CreateStudent GetStudent ListStudents UpdateStudent
          instructor  site    EnrolStudent GetEnrolment ListEnrolments WithdrawEnrolment OfferSeat AcceptSeat DeclineSeat
        MouldService
          device      site    GetMould ListMoulds AskFreeMoulds
          lead        site    CreateMould BookMoulds
        CalendarService
          instructor  site    GetSessionInvitation
          lead        site    CreateCalendarLink GetCalendarLink ListCalendarLinks RevokeCalendarLink
        NeedService
          assistant   site    GetResinNeed PrintMixSheet PrintRunSheet ListShortfalls
          lead        studio  PlanLots ListLotClasses
        LabelService
          device      site    ParseSupplierLabel
          assistant   site    PrintLabels
        DefectService
          device      site    ReportDefect
          assistant   site    GetDefect ListDefects
        TraceService
          device      site    DrawCure
          instructor  studio  TracePiece TraceLot TraceOrigins TraceReached PrintTrace
        SuspectService
          instructor  site    GetSiteWatch
          instructor  studio  RankSuspects GetPieceEvidence
        RecallService
          assistant   site    ListScales
          lead        site    SetScale
          instructor  studio  GetRecall ListRecalls PrintRecall AcknowledgeRecallNotice HoldSisters GetReconciliation
          lead        studio  StartRecall StartDrill CloseRecall ReleaseSisters
        ReportService
          instructor  studio  PrintDefect
          lead        studio  PrintSeason
        PlanService
          lead        studio  PlanSeason GetPlan ListPlans ExplainClass PublishPlan Replan ChooseProposal DrawPlan
        SealService
          lead        studio  GetSeal ListSeals ExportSeal VerifyEvidence
          owner       studio  CreateSeal
        FailedMessageService
          owner       node    ListFailedMessages ReplayFailedMessage
        ExportService
          owner       studio  ExportRecords ExplainPerson
        """;

    /// <summary>Services of the platform: their calls by full name.</summary>
    private static readonly Policy[] Platform =
    [
        new("/grpc.health.v1.Health/Check", Role.Unspecified, Reach.Anyone),
        new("/grpc.health.v1.Health/Watch", Role.Unspecified, Reach.Anyone),
        new("/grpc.health.v1.Health/List", Role.Unspecified, Reach.Anyone),
        new("/grpc.reflection.v1alpha.ServerReflection/ServerReflectionInfo", Role.Device, Reach.Site),
        new("/grpc.reflection.v1.ServerReflection/ServerReflectionInfo", Role.Device, Reach.Site),
    ];

    /// <summary>Fields that are shown from a role on; below it they are empty. Whatever is not here is shown to whoever may make the call.</summary>
    public static IReadOnlyDictionary<string, Role> Fields { get; } = new Dictionary<string, Role>
    {
        ["pourwright.v1.Contact.email"] = Role.Instructor,
        ["pourwright.v1.Contact.webhook_uri"] = Role.Instructor,
        ["pourwright.v1.Instructor.email"] = Role.Instructor,
        ["pourwright.v1.Student.contact_email"] = Role.Instructor,
    };

    /// <summary>By the name of the method: `/pourwright.v1.MixService/RecordMix`.</summary>
    public static IReadOnlyDictionary<string, Policy> All { get; } = Read(Table).Concat(Platform).ToDictionary(policy => policy.Method);

    private static IEnumerable<Policy> Read(string table)
    {
        var service = "";
        foreach (var line in table.Split('\n'))
        {
            var words = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            if (words.Length == 1) service = words[0];
            else
                foreach (var call in words.Skip(2))
                    yield return new($"/pourwright.v1.{service}/{call}", Enum.Parse<Role>(words[0], ignoreCase: true), Enum.Parse<Reach>(words[1], ignoreCase: true));
        }
    }
}
