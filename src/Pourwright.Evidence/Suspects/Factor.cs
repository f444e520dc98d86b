namespace Pourwright.Evidence.Suspects;

/// <summary>What pieces may share that could be to blame. The measured ones come in preset bands, see <see cref="Bands"/>.</summary>
public enum Factor
{
    LotA,
    LotB,
    PigmentLot,
    Container,
    Mix,
    /// <summary>Who mixed or poured.</summary>
    Person,
    /// <summary>Who taught the class.</summary>
    Instructor,
    Scale,
    Site,
    Bench,
    Mould,
    /// <summary>Day of the pour.</summary>
    Date,
    /// <summary>Room, lowest of the cure, in °C.</summary>
    Temperature,
    /// <summary>Room, relative, in %.</summary>
    Humidity,
    /// <summary>Coldest of mould, wood and resin above the dew point, in K.</summary>
    DewPointMargin,
    /// <summary>Weighed B per A against the data sheet's, in %; positive is too much B.</summary>
    RatioDeviation,
    /// <summary>Of the layer, in mm.</summary>
    Depth,
    /// <summary>Metered before the pour, in %.</summary>
    WoodMoisture,
    /// <summary>Elapsed from pour to demold, in h.</summary>
    HoursToDemold,
    /// <summary>Forecast by the cure engine for the time of demold, 0 to 1.</summary>
    ConversionAtDemold,
}
