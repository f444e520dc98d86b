using System.Globalization;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>Which EPCIS event tells which record, without its <c>eventID</c>.</summary>
/// <remarks>
/// Data of a lot stand in fields of the studio's own: EPCIS allows <c>ilmd</c> with ADD and with a transformation only, and the
/// studio observes lots that others made. A suspicion is <c>non_sellable_other</c>; <c>recalled</c> is kept for a declared recall.
/// </remarks>
public sealed class EpcisEvents(TraceDomain domain)
{
    private readonly EpcisSensors _sensors = new(domain);

    public JsonObject Told(TraceRecord record) => record switch
    {
        LotReceived received => Received(received),
        Filled filled => Made(filled, filled.From, filled.Contents, StepOf(filled.Kind)),
        Mixed mixed => Mixing(mixed),
        Poured poured => Pouring(poured),
        LoggerTied tied => Tied(tied),
        CureRead read => Readings(read),
        Checked seen => Check(seen),
        Inspected inspected => Inspection(inspected),
        Weighed weighed => Weighing(weighed),
        Moved moved => Kept(moved, "OBSERVE", "arriving", "in_progress", [moved.Material], [], null),
        Held held => Kept(held, "OBSERVE", "holding", "non_sellable_other", held.Materials, held.Pieces, held.Reason),
        Released released => Release(released),
        Recalled recalled => Recall(recalled),
        Discarded discarded => Kept(discarded, "DELETE", "destroying", "destroyed", discarded.Materials, discarded.Pieces, discarded.Reason),
        _ => throw new ArgumentException($"{record.GetType().Name} has no EPCIS event."),
    };

    /// <summary>One word for what was done: the studio's own where it says more than the vocabulary.</summary>
    public static string Step(JsonObject told) => (told["pw:step"] ?? told["bizStep"])!.GetValue<string>();

    private JsonObject Received(LotReceived record)
    {
        var told = Begun("ObjectEvent", record, "OBSERVE", "receiving", "in_progress");
        told["quantityList"] = Quantities([record.Lot]);
        told["sourceList"] = Owner("source", record.Supplier);
        told["destinationList"] = Owner("destination", record.Receiver);
        told["pw:supplierLot"] = record.SupplierLot;
        told["pw:component"] = record.Component;
        told["pw:expiryDate"] = Day(record.ExpiryDate);
        told["pw:productionDate"] = Day(record.ProductionDate);
        return Ended(told, record);
    }

    private JsonObject Mixing(Mixed record)
    {
        var told = Made(record, record.From, record.Mix, "mixing");
        told["ilmd"] = new JsonObject
        {
            ["pw:targetRatioByMass"] = record.TargetRatioByMass,
            ["pw:lossKg"] = Kilograms(record.From.Sum(part => part.MassMg) - record.Mix.MassMg),
            ["pw:potLifeEnd"] = record.PotLifeEnd is { } end ? EpcisTime.Local(end, record.Zone) : null,
        }.WithoutNulls();
        return told;
    }

    private JsonObject Made(Making record, IReadOnlyList<Amount> from, Amount to, string step)
    {
        var told = Begun("TransformationEvent", record, null, "creating_class_instance", "in_progress");
        told["transformationID"] = domain.UriOf(record.Act);
        told["inputQuantityList"] = Quantities(from);
        told["outputQuantityList"] = Quantities([to]);
        told["pw:step"] = step;
        return Ended(told, record);
    }

    private JsonObject Pouring(Poured record)
    {
        var told = Begun("TransformationEvent", record, null, record.OntoEarlierLayer ? $"{domain.Origin}/voc/step/adding_layer" : "commissioning", "in_progress");
        told["transformationID"] = domain.UriOf(record.Act);
        told["inputQuantityList"] = Quantities(record.From);
        told["inputEPCList"] = Uris([.. record.OntoEarlierLayer ? [record.Piece] : Listed(null), .. Listed(record.Blank)]);
        told["outputEPCList"] = Uris([record.Piece]);
        told["ilmd"] = new JsonObject
        {
            ["pw:depthMm"] = record.DepthMm,
            ["pw:mould"] = record.Mould is null ? null : domain.UriOf(record.Mould),
        }.WithoutNulls();
        told["pw:step"] = "pouring";
        return Ended(told, record);
    }

    private JsonObject Tied(LoggerTied record)
    {
        var told = Begun("AssociationEvent", record, record.TakenOff ? "DELETE" : "ADD", record.TakenOff ? "removing" : "installing", null);
        told["parentID"] = domain.UriOf(record.Piece);
        told["childEPCs"] = Uris([record.Logger]);
        return Ended(told, record);
    }

    private JsonObject Readings(CureRead record)
    {
        var told = Begun("ObjectEvent", record, "OBSERVE", "sensor_reporting", null);
        told["epcList"] = Uris([record.Piece]);
        told["sensorElementList"] = _sensors.Elements(record);
        return Ended(told, record);
    }

    private JsonObject Check(Checked record)
    {
        var told = Begun("ObjectEvent", record, "OBSERVE", "inspecting", "in_progress");
        told["epcList"] = Uris([record.Piece]);
        told["pw:touch"] = record.Touch;
        told["pw:shoreD"] = record.ShoreD;
        return Ended(told, record);
    }

    private JsonObject Weighing(Weighed record)
    {
        var told = Kept(record, "OBSERVE", "cycle_counting", "in_progress", [record.Left], [], null);
        told["pw:unexplainedKg"] = Kilograms(record.UnexplainedMg);
        return told;
    }

    private JsonObject Inspection(Inspected record)
    {
        var told = Begun("ObjectEvent", record, "OBSERVE", "inspecting", record.Defects.Count == 0 ? "conformant" : "non_conformant");
        told["epcList"] = Uris([record.Piece]);
        told["pw:defect"] = new JsonArray([.. record.Defects.Select(defect => new JsonObject { ["pw:code"] = defect.Code, ["pw:severity"] = defect.Severity }.WithoutNulls())]);
        return Ended(told, record);
    }

    /// <summary>The vocabulary has a step for holding and none for its end.</summary>
    private JsonObject Release(Released record)
    {
        var told = Kept(record, "OBSERVE", $"{domain.Origin}/voc/step/releasing", "in_progress", record.Materials, record.Pieces, null);
        told["pw:step"] = "releasing";
        return told;
    }

    private JsonObject Recall(Recalled record)
    {
        var told = Kept(record, "OBSERVE", "holding", "recalled", record.Materials, record.Pieces, record.Reason);
        told["persistentDisposition"] = new JsonObject { ["set"] = new JsonArray("recalled") };
        return told;
    }

    private JsonObject Kept(TraceRecord record, string action, string step, string disposition, IReadOnlyList<Amount> materials, IReadOnlyList<Thing> pieces, string? reason)
    {
        var told = Begun("ObjectEvent", record, action, step, disposition);
        told["epcList"] = Uris(pieces);
        told["quantityList"] = Quantities(materials);
        told["pw:reason"] = reason;
        return Ended(told, record);
    }

    /// <summary>What every event begins with. Null members stand for what does not apply, and <see cref="Ended"/> takes them out.</summary>
    private static JsonObject Begun(string type, TraceRecord record, string? action, string step, string? disposition) => new()
    {
        ["type"] = type,
        ["eventTime"] = EpcisTime.Local(record.Time, record.Zone),
        ["recordTime"] = record.RecordTime is { } recorded ? EpcisTime.Utc(recorded) : null,
        ["eventTimeZoneOffset"] = EpcisTime.ZoneOffset(record.Time, record.Zone),
        ["action"] = action,
        ["bizStep"] = step,
        ["disposition"] = disposition,
    };

    private JsonObject Ended(JsonObject told, TraceRecord record)
    {
        told["readPoint"] = new JsonObject { ["id"] = domain.UriOf(record.Place) };
        told["bizLocation"] = record.Location is null ? null : new JsonObject { ["id"] = domain.UriOf(record.Location) };
        told["bizTransactionList"] = record.Papers.Count == 0 ? null : new JsonArray([.. record.Papers.Select(Transaction)]);
        told["pw:instructor"] = record.By is null ? null : domain.UriOf(record.By);
        return told.WithoutNulls();
    }

    private JsonNode Transaction(Paper paper) => new JsonObject
    {
        ["type"] = paper.Kind switch
        {
            PaperKind.DespatchAdvice => "desadv",
            PaperKind.ProductionOrder => "prodorder",
            _ => "testres",
        },
        ["bizTransaction"] = domain.UriOf(paper.Document),
    };

    private JsonArray? Owner(string side, Thing? party) =>
        party is null ? null : new(new JsonObject { ["type"] = "owning_party", [side] = domain.UriOf(party) });

    private JsonArray? Quantities(IReadOnlyList<Amount> amounts) => amounts.Count == 0 ? null : new([.. amounts.Select(amount => new JsonObject
    {
        ["epcClass"] = domain.UriOf(amount.Of),
        ["quantity"] = Kilograms(amount.MassMg),
        ["uom"] = "KGM",
    })]);

    private JsonArray? Uris(IReadOnlyList<Thing> things) => things.Count == 0 ? null : new([.. things.Select(thing => JsonValue.Create(domain.UriOf(thing)))]);

    private static IEnumerable<Thing> Listed(Thing? thing) => thing is null ? [] : [thing];

    /// <summary>Exact: six decimals hold a milligram.</summary>
    private static decimal Kilograms(long massMg) => massMg / 1_000_000m;

    private static string StepOf(FillingKind kind) => kind switch
    {
        FillingKind.Fill => "filling",
        FillingKind.Decant => "decanting",
        _ => "topping_up",
    };

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
