namespace Pourwright.Cure.Sources;

/// <summary>How far a source was read before it was cited.</summary>
public enum SourceStanding
{
    /// <summary>Cited from memory; title and pages were not re-checked.</summary>
    FromMemory,

    /// <summary>The abstract was read, the paper was not.</summary>
    AbstractSeen,

    /// <summary>Its coefficients were read in public code or documentation that names it; the source itself was not.</summary>
    QuotedElsewhere,
}

/// <summary>One source.</summary>
/// <param name="Key">The key that stands in brackets in a comment.</param>
/// <param name="Citation">Plain citation.</param>
/// <param name="Standing">How far it was read.</param>
/// <param name="Doi">Digital object identifier, where it is known.</param>
public sealed record Source(string Key, string Citation, SourceStanding Standing, string? Doi = null);

/// <summary>
/// Every source that a comment of the engine cites. No full paper could be opened: each standing says what was.
/// </summary>
public static class Bibliography
{
    /// <summary>Sources by key.</summary>
    public static IReadOnlyDictionary<string, Source> Sources { get; } = new Source[]
    {
        new("AbramowitzStegun1964",
            "Abramowitz, Stegun, Handbook of Mathematical Functions (1964): chapter 26, the normal distribution.",
            SourceStanding.FromMemory),
        new("Barral1995",
            "Barral et al., J. Appl. Polym. Sci. 56 (1995) 1029: bisphenol A epoxide with a cycloaliphatic diamine, 60–110 °C.",
            SourceStanding.AbstractSeen),
        new("ChernPoehlein1987",
            "Chern, Poehlein, Polym. Eng. Sci. 27 (1987) 788: diffusion factor of a critical conversion.",
            SourceStanding.FromMemory),
        new("CureOfDgebaWithPda2006",
            "Thermochim. Acta 447 (2006) 167: diglycidyl ether of bisphenol A with m-phenylenediamine; authors not noted.",
            SourceStanding.AbstractSeen),
        new("DiBenedetto1987",
            "DiBenedetto, J. Polym. Sci. B 25 (1987) 1949: glass transition against conversion.",
            SourceStanding.FromMemory),
        new("Flory1941",
            "Flory, J. Am. Chem. Soc. 63 (1941) 3083: molecular size distribution in three-dimensional polymers.",
            SourceStanding.FromMemory),
        new("FritschCarlson1980",
            "Fritsch, Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980) 238.",
            SourceStanding.FromMemory),
        new("Gonzalez2003",
            "González et al., Macromol. Symp. (2003): aliphatic diamines at low temperature.",
            SourceStanding.AbstractSeen, "10.1002/masy.200351011"),
        new("Gustafsson1994",
            "Gustafsson, Control-theoretic techniques for stepsize selection in implicit Runge-Kutta methods, "
                + "ACM Trans. Math. Softw. 20 (1994) 496.",
            SourceStanding.FromMemory),
        new("Horie1970",
            "Horie et al., J. Polym. Sci. A-1 8 (1970) 1357: calorimetry of epoxides with amines.",
            SourceStanding.FromMemory),
        new("KamalSourour1973",
            "Kamal, Sourour, Polym. Eng. Sci. 13 (1973) 59: kinetics and thermal characterisation of thermoset cure.",
            SourceStanding.FromMemory),
        new("Kiefer1953",
            "Kiefer, Proc. Am. Math. Soc. 4 (1953) 502: sequential minimax search for a maximum.",
            SourceStanding.FromMemory),
        new("Levenberg1944",
            "Levenberg, Q. Appl. Math. 2 (1944) 164: a method for certain non-linear problems in least squares.",
            SourceStanding.FromMemory),
        new("LiuWest2001",
            "Liu, West, Combined parameter and state estimation, in Sequential Monte Carlo Methods in Practice (2001).",
            SourceStanding.FromMemory),
        new("Marquardt1963",
            "Marquardt, J. Soc. Ind. Appl. Math. 11 (1963) 431: least-squares estimation of nonlinear parameters.",
            SourceStanding.FromMemory),
        new("McCullagh1980",
            "McCullagh, Regression models for ordinal data, J. R. Stat. Soc. B 42 (1980) 109.",
            SourceStanding.FromMemory),
        new("MoistureCure2023",
            "arXiv 2304.01375 (2023): amine hardener with up to 12 % of water cures faster; authors not noted.",
            SourceStanding.AbstractSeen),
        new("Rabinowitch1937",
            "Rabinowitch, Trans. Faraday Soc. 33 (1937) 1225: collision, co-ordination, diffusion and reaction velocity.",
            SourceStanding.FromMemory),
        new("Roberts2018",
            "Roberts, The unreasonable effectiveness of quasirandom sequences (2018), a web page.",
            SourceStanding.FromMemory),
        new("Sandu1997",
            "Sandu et al., Benchmarking stiff ODE solvers for atmospheric chemistry problems II, Atmos. Environ. 31 (1997) 3459.",
            SourceStanding.FromMemory),
        new("Semenov1928",
            "Semenov, Z. Phys. 48 (1928) 571: theory of combustion.",
            SourceStanding.FromMemory),
        new("SimonGillham1993",
            "Simon, Gillham, J. Appl. Polym. Sci. (1993): diffusion-controlled cure of thermosets.",
            SourceStanding.FromMemory),
        new("Simpson1998",
            "Simpson, Equilibrium moisture content of wood in outdoor locations, FPL-RN-0268 (1998).",
            SourceStanding.QuotedElsewhere),
        new("Sonntag1990",
            "Sonntag, Z. Meteorol. 40 (1990) 340: new formulae for saturation vapour pressure.",
            SourceStanding.QuotedElsewhere),
        new("SourourKamal1976",
            "Sourour, Kamal, Thermochim. Acta 14 (1976) 41: isothermal calorimetry of epoxy cure.",
            SourceStanding.FromMemory),
        new("Stockmayer1943",
            "Stockmayer, J. Chem. Phys. 11 (1943) 45: molecular sizes and gel formation in branched polymers.",
            SourceStanding.FromMemory),
        new("UhlenbeckOrnstein1930",
            "Uhlenbeck, Ornstein, Phys. Rev. 36 (1930) 823: on the theory of the Brownian motion.",
            SourceStanding.FromMemory),
        new("Wan2017",
            "Wan et al., Ind. Eng. Chem. Res. (2017): bisphenol A epoxide with a branched aliphatic polyamine, 40–70 °C.",
            SourceStanding.AbstractSeen, "10.1021/acs.iecr.7b00610"),
        new("Wichura1988",
            "Wichura, Algorithm AS 241: the percentage points of the normal distribution, Appl. Stat. 37 (1988) 477.",
            SourceStanding.FromMemory),
        new("WisanrakkitGillham1990",
            "Wisanrakkit, Gillham, J. Appl. Polym. Sci. (1990): kinetics before and after vitrification.",
            SourceStanding.FromMemory),
    }.ToDictionary(s => s.Key);
}
