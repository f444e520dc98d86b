using System.Collections.Concurrent;
using Pourwright.Cure;
using Pourwright.Cure.DataSheets;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;

namespace Pourwright.Studio.Resins;

/// <summary>The cure model of each resin system, fitted once to its data sheet: resin systems never change.</summary>
/// <remarks>One a host, for all threads. Tens of milliseconds the first time, so not for the writer's thread.</remarks>
public sealed class ResinModels
{
    // Names of resin systems, and of classes; the latter have no slash.
    private readonly ConcurrentDictionary<string, Lazy<SheetCalibration>> _fitted = new();

    /// <summary>The model of a resin system; that of its class where the sheet cannot be used, with a caution that says why.</summary>
    public SheetCalibration Of(ResinSystemRecord system) => Once(system.Name, () => Fitted(system));

    /// <summary>The model of a resin of which only the class is known.</summary>
    public SheetCalibration Of(CureClass cureClass) => Once($"{cureClass}", () => SheetCalibrator.Calibrate(SheetOf.OfClass(cureClass)));

    private SheetCalibration Once(string key, Func<SheetCalibration> fit) =>
        _fitted.GetOrAdd(key, _ => new Lazy<SheetCalibration>(fit)).Value;

    // A sheet is refused when it comes, but one may be older than the rule that refuses it.
    private SheetCalibration Fitted(ResinSystemRecord system)
    {
        try
        {
            return SheetCalibrator.Calibrate(SheetOf.Read(system).Sheet);
        }
        catch (Exception unfit) when (unfit is ContradictorySheetException or CureRangeException)
        {
            return Of(system.CureClass) with
            {
                Cautions =
                [
                    new(SheetDoubt.SheetUnused,
                        $"The data sheet is not used: {unfit.Message} Forecasts are those of the class until the sheet is put right in a new resin system.",
                        ("cause", unfit.Message)),
                ],
            };
        }
    }
}
