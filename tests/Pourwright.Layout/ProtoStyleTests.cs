using Google.Api;
using Google.Protobuf.Reflection;
using Pourwright.V1;

namespace Pourwright.Layout;

/// <summary>Rules of the protocol that its linter cannot see, read off the generated descriptors.</summary>
public sealed class ProtoStyleTests
{
    private static readonly FileDescriptor[] Files =
    [
        CommonReflection.Descriptor, StudiosReflection.Descriptor, SitesReflection.Descriptor, ResinsReflection.Descriptor,
        LotsReflection.Descriptor, MixesReflection.Descriptor, PiecesReflection.Descriptor, ClimateReflection.Descriptor,
        CureReflection.Descriptor, ForecastsReflection.Descriptor, LearningReflection.Descriptor, RemindersReflection.Descriptor, DefectsReflection.Descriptor,
        TracesReflection.Descriptor, LabelsReflection.Descriptor, AdviceReflection.Descriptor,
        NeedsReflection.Descriptor, PlansReflection.Descriptor,
        OfferingsReflection.Descriptor, InstructorsReflection.Descriptor,
        ClassesReflection.Descriptor, StudentsReflection.Descriptor, MouldsReflection.Descriptor,
        CalendarsReflection.Descriptor,
        RecallsReflection.Descriptor,
        ReportsReflection.Descriptor,
        SuspectsReflection.Descriptor,
        SealsReflection.Descriptor,
        ExportsReflection.Descriptor,
        FailedMessagesReflection.Descriptor,
        AccessReflection.Descriptor,
        StudentLinksReflection.Descriptor,
        AuditReflection.Descriptor,
        PrivacyReflection.Descriptor,
    ];

    private static readonly string[] Units =
    [
        "_mg", "_mm", "_px", "_celsius", "_percent", "_ratio", "_count", "_size", "_kg_per_m3", "_g_per_mol", "_parts_per_100_resin",
        "_mm_per_s", "_g_per_m2", "_days", "_ml", "_dots_per_inch",
    ];

    private static readonly string[] ReadingVerbs = ["Get", "List", "Watch", "Trace", "Print", "Draw", "Predict", "Plan", "Ask", "Explain", "Rank", "Export", "Verify", "Parse"];

    /// <summary>Dimensionless by an open standard: Shore D after ISO 868, grits of coated abrasives after ISO 6344 (from memory).</summary>
    private static readonly string[] OwnScale =
        ["shore_d", "grit", "helical_head_first_grit", "straight_knives_first_grit", "router_sled_first_grit"];

    /// <summary>Where a unit differs from one row to the next, it stands in a field beside the number.</summary>
    private static bool HasUnitBeside(FieldDescriptor field) => field.ContainingType.FindFieldByName("unit") is not null;

    private static IEnumerable<MessageDescriptor> Messages => Files.SelectMany(file => file.MessageTypes).SelectMany(WithNested);

    private static IEnumerable<MethodDescriptor> Methods => Files.SelectMany(file => file.Services).SelectMany(service => service.Methods);

    private static IEnumerable<MessageDescriptor> Requests => Methods.Select(method => method.InputType).Distinct();

    [Fact]
    public void EveryProtoFile_IsLookedAt() => Assert.Equal(
        Directory.GetFiles(Repository.Path("protos/pourwright/v1"), "*.proto").Select(path => $"pourwright/v1/{Path.GetFileName(path)}").Order(),
        Files.Select(file => file.Name).Order());

    [Fact]
    public void EveryNumber_CarriesItsUnitAsSuffix() => Assert.Empty(Messages.SelectMany(message => message.Fields.InDeclarationOrder())
        .Where(field => field.FieldType is FieldType.Double or FieldType.Float or FieldType.Int32 or FieldType.Int64)
        .Where(field => !OwnScale.Contains(field.Name) && !HasUnitBeside(field) && !Units.Any(unit => $"_{field.Name}".EndsWith(unit, StringComparison.Ordinal)))
        .Select(field => field.FullName));

    [Fact]
    public void NoField_IsUnsigned() => Assert.Empty(Messages.SelectMany(message => message.Fields.InDeclarationOrder())
        .Where(field => field.FieldType is FieldType.UInt32 or FieldType.UInt64 or FieldType.Fixed32 or FieldType.Fixed64)
        .Select(field => field.FullName));

    [Fact]
    public void EveryRequestField_SaysWhetherItIsRequired() => Assert.Empty(Requests.SelectMany(request => request.Fields.InDeclarationOrder())
        .Where(field => !Behaviors(field).Any(behavior => behavior is FieldBehavior.Required or FieldBehavior.Optional))
        .Select(field => field.FullName));

    [Fact]
    public void EveryWrite_TakesARequestId() => Assert.Empty(Methods
        .Where(IsWrite).Where(method => method.InputType.FindFieldByName("request_id") is null)
        .Select(method => method.FullName));

    [Fact]
    public void NoRead_TakesARequestId() => Assert.Empty(Methods
        .Where(method => !IsWrite(method) && method.InputType.FindFieldByName("request_id") is not null)
        .Select(method => method.FullName));

    [Fact]
    public void EveryList_PagesFromTheFirstDay() => Assert.Empty(Methods
        .Where(method => method.Name.StartsWith("List", StringComparison.Ordinal))
        .Where(method => method.InputType.FindFieldByName("page_size") is null || method.InputType.FindFieldByName("page_token") is null
            || method.OutputType.FindFieldByName("next_page_token") is null || !method.OutputType.FindFieldByNumber(1).IsRepeated)
        .Select(method => method.FullName));

    [Fact]
    public void EveryResource_HasItsNameFirst() => Assert.Empty(Messages.Where(message => Resource(message) is not null)
        .Where(message => message.FindFieldByNumber(1) is not { Name: "name" } name || !Behaviors(name).Contains(FieldBehavior.Identifier))
        .Select(message => message.FullName));

    [Fact]
    public void EveryReference_PointsAtADeclaredResource()
    {
        var declared = Messages.Select(Resource).OfType<ResourceDescriptor>().Select(resource => resource.Type).ToHashSet();
        Assert.Empty(Messages.SelectMany(message => message.Fields.InDeclarationOrder())
            .Where(field => field.GetOptions()?.GetExtension(ResourceExtensions.ResourceReference) is { } reference && !declared.Contains(reference.Type))
            .Select(field => field.FullName));
    }

    [Fact]
    public void EveryInstant_IsNamedInTheImperative() => Assert.Empty(Messages.SelectMany(message => message.Fields.InDeclarationOrder())
        .Where(field => field.FieldType == FieldType.Message && field.MessageType.FullName == "google.protobuf.Timestamp")
        .Where(field => !field.Name.EndsWith("_time", StringComparison.Ordinal) || field.Name.EndsWith("ed_time", StringComparison.Ordinal))
        .Select(field => field.FullName));

    [Fact]
    public void EveryUnaryMethod_IsReachableAsJson() => Assert.Empty(Methods
        .Where(method => !method.IsClientStreaming && method.GetOptions()?.GetExtension(AnnotationsExtensions.Http) is null)
        .Select(method => method.FullName));

    /// <summary>Planning a season keeps its draft; the other plans are answers.</summary>
    private const string WritingPlans = "PlanSeason";

    private static bool IsWrite(MethodDescriptor method) => method.Name == WritingPlans
        || !ReadingVerbs.Any(verb => method.Name.StartsWith(verb, StringComparison.Ordinal));

    private static IEnumerable<MessageDescriptor> WithNested(MessageDescriptor message) =>
        message.GetOptions()?.MapEntry == true ? [] : message.NestedTypes.SelectMany(WithNested).Prepend(message);

    private static FieldBehavior[] Behaviors(FieldDescriptor field) =>
        field.GetOptions()?.GetExtension(FieldBehaviorExtensions.FieldBehavior)?.ToArray() ?? [];

    private static ResourceDescriptor? Resource(MessageDescriptor message) => message.GetOptions()?.GetExtension(ResourceExtensions.Resource);
}
