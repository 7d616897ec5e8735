namespace StageView.Light.Cautions.Limits;

/// <summary>
/// Every limit of every caution, with its unit and where it comes from. All are settable: what lies beyond a limit is a reason to look, what lies within is
/// no promise. Local code, the laser safety officer, the rigger and the electrician decide.
/// </summary>
public sealed record CautionLimits
{
    public const string NoSource = "common practice, no source";
    private const string Iec = "IEC 60825-1:2014";
    private const string Wcag = "WCAG 2.2, general flash and red flash thresholds";
    private const string Broadcast = "ITU-R BT.1702";

    public static CautionLimits Default { get; } = new();

    /// <summary>Light of one beam, one fixture's surfaces or all together below this is not listed, lx. Common practice, no source.</summary>
    public double LeastLux { get; init; } = 500;

    /// <summary>Exposure time for the lasers' limit, s, 5 µs to 10 s: the aversion response to visible light (IEC 60825-1:2014, 4.3 e).</summary>
    public double ExposureSeconds { get; init; } = 0.25;

    /// <summary>
    /// Laser rays that pass closer above a volume than this are listed, m. US variances from 21 CFR 1040.11(c) ask for 3 m while an operator is in control,
    /// as others cite them.
    /// </summary>
    public double LaserHeightMetres { get; init; } = 3;

    /// <summary>Laser rays that pass closer beside or below a volume than this are listed, m. The same variances ask for 2.5 m; 2 m are met too.</summary>
    public double LaserSideMetres { get; init; } = 2.5;

    /// <summary>
    /// Diameter of the eye's opening over which a laser's exposure is averaged, m (IEC 60825-1:2014, limiting apertures of annex A: 7 mm for 400 to 1,400
    /// nm; from memory).
    /// </summary>
    public double PupilMetres { get; init; } = 0.007;

    /// <summary>Flashes within any one second above which a place is listed (WCAG 2.2 SC 2.3.1; ITU-R BT.1702).</summary>
    public int MostFlashes { get; init; } = 3;

    /// <summary>Luminance taken as white where a limit is relative, cd/m²: WCAG's 10 % and .80 of it are then BT.1702's 20 and 160 cd/m².</summary>
    public double WhiteCandela { get; init; } = 200;

    /// <summary>Change of luminance that makes half a flash, cd/m² (ITU-R BT.1702).</summary>
    public double FlashCandela { get; init; } = 20;

    /// <summary>A flash counts while its darker image lies below this, cd/m² (ITU-R BT.1702).</summary>
    public double FlashDarkerCandela { get; init; } = 160;

    /// <summary>Change that makes half a flash, share of white (WCAG 2.2).</summary>
    public double FlashShare { get; init; } = 0.1;

    /// <summary>A flash counts while its darker image lies below this share of white (WCAG 2.2).</summary>
    public double FlashDarkerShare { get; init; } = 0.8;

    /// <summary>R/(R+G+B) from which red is saturated (WCAG 2.2, working definition after Harding and Binnie 2002).</summary>
    public double RedRatio { get; init; } = 0.8;

    /// <summary>
    /// Change of (R - G - B) × 320, negative values taken as 0, above which a transition to or from saturated red counts (WCAG 2.2, same place).
    /// </summary>
    public double RedChange { get; init; } = 20;

    /// <summary>Diameter of the part of the visual field over which flashing areas add up, degrees (WCAG 2.2).</summary>
    public double FieldDegrees { get; init; } = 10;

    /// <summary>
    /// Share of that part, or of a picture, from which flashes count (WCAG 2.2: above .006 sr in any 10°, 25 %; BT.1702: above 25 % of the picture).
    /// </summary>
    public double FlashArea { get; init; } = 0.25;

    /// <summary>
    /// Flashes a second of a fixture above which it is listed as a strobe. The UK's Health and Safety Executive recommends at most four in clubs, as the
    /// Epilepsy Society cites it.
    /// </summary>
    public double StrobeRate { get; init; } = 4;

    /// <summary>A fixture's light flashes when it falls below this share of its own brightest and comes back. Common practice, no source.</summary>
    public double StrobeDarkShare { get; init; } = 0.5;

    /// <summary>Fixtures that give less at their brightest are dark, lm. Common practice, no source.</summary>
    public double StrobeLeastLumens { get; init; } = 1;

    /// <summary>Moving pieces that come closer to each other than this are listed, m. Common practice, no source.</summary>
    public double ClearanceMetres { get; init; } = 0.5;

    /// <summary>Moving pieces closer to a volume than this are listed, m. Common practice, no source.</summary>
    public double VolumeClearanceMetres { get; init; } = 1;

    /// <summary>Slower pieces don't count as moving, m/s. Common practice, no source.</summary>
    public double MovingMetresPerSecond { get; init; } = 0.005;

    /// <summary>All limits in reading order.</summary>
    public IReadOnlyList<CautionLimit> All =>
    [
        Lux,
        .. Laser,
        .. Flash,
        .. Strobe,
        .. Moving,
    ];

    public CautionLimit Lux => new("least", LeastLux, "lx", "light below this is not listed", NoSource);

    public IReadOnlyList<CautionLimit> Laser =>
    [
        new("exposure", ExposureSeconds, "s", "exposure time for the laser limit", Iec + ", 4.3 e: aversion response, 400 to 700 nm"),
        new("laser-height", LaserHeightMetres, "m", "laser rays closer above a volume are listed",
            "US variances from 21 CFR 1040.11(c) with an operator in control, as others cite them; codes differ"),
        new("laser-side", LaserSideMetres, "m", "laser rays closer beside or below a volume are listed",
            "US variances from 21 CFR 1040.11(c), as others cite them; codes differ"),
        new("pupil", PupilMetres, "m", "opening over which a laser's exposure is averaged",
            Iec + ", limiting apertures of annex A, 400 to 1,400 nm (from memory)"),
    ];

    public IReadOnlyList<CautionLimit> Flash =>
    [
        new("flashes", MostFlashes, "", "flashes within any one second above which they are listed", Wcag + "; " + Broadcast),
        new("white", WhiteCandela, "cd/m2", "luminance taken as white", "the luminance at which WCAG's shares are BT.1702's limits"),
        new("flash-change", FlashCandela, "cd/m2", "change of luminance that is half a flash", Broadcast),
        new("flash-darker", FlashDarkerCandela, "cd/m2", "the darker image of a flash lies below this", Broadcast),
        new("flash-share", FlashShare, "", "change that is half a flash, share of white", Wcag),
        new("flash-darker-share", FlashDarkerShare, "", "the darker image of a flash lies below this share of white", Wcag),
        new("red-ratio", RedRatio, "", "R/(R+G+B) of a saturated red", Wcag + ", note (Harding and Binnie 2002)"),
        new("red-change", RedChange, "", "change of (R-G-B) x 320 of half a red flash", Wcag + ", note (Harding and Binnie 2002)"),
        new("field", FieldDegrees, "degrees", "part of the visual field over which flashing areas add up", Wcag),
        new("flash-area", FlashArea, "", "share of that part above which flashes count", Wcag + "; " + Broadcast + " (of the picture)"),
    ];

    public IReadOnlyList<CautionLimit> Strobe =>
    [
        new("strobe", StrobeRate, "flashes/s", "rate of a fixture above which it is listed",
            "UK Health and Safety Executive, cited by the Epilepsy Society (Minimising risk from flashing lights)"),
        new("strobe-dark", StrobeDarkShare, "", "share of its brightest below which a fixture's light must fall", NoSource),
        new("strobe-lumens", StrobeLeastLumens, "lm", "fixtures below this are dark", NoSource),
    ];

    public IReadOnlyList<CautionLimit> Moving =>
    [
        new("clearance", ClearanceMetres, "m", "moving pieces closer to each other are listed", NoSource),
        new("volume-clearance", VolumeClearanceMetres, "m", "moving pieces closer to a volume are listed", NoSource),
        new("moving", MovingMetresPerSecond, "m/s", "slower pieces stand still", NoSource),
    ];

    /// <summary>The first limit out of its range, in a sentence; null when all are fine.</summary>
    public string? Fault()
    {
        foreach (var (key, ok, range) in ((string, bool, string)[])
        [
            ("least", LeastLux >= 0, "0 lx or more"),
            ("exposure", ExposureSeconds is >= 5e-6 and <= 10, "5e-6 to 10 s, where the formula holds"),
            ("laser-height", LaserHeightMetres is >= 0 and < 1000, "0 to 1000 m"),
            ("laser-side", LaserSideMetres is >= 0 and < 1000, "0 to 1000 m"),
            ("pupil", PupilMetres is > 0 and <= 0.1, "above 0 to .1 m"),
            ("flashes", MostFlashes is >= 0 and <= 100, "0 to 100"),
            ("white", WhiteCandela > 0, "above 0 cd/m2"),
            ("flash-change", FlashCandela > 0, "above 0 cd/m2"),
            ("flash-darker", FlashDarkerCandela > 0, "above 0 cd/m2"),
            ("flash-share", FlashShare is > 0 and <= 1, "above 0 to 1"),
            ("flash-darker-share", FlashDarkerShare is > 0 and <= 1, "above 0 to 1"),
            ("red-ratio", RedRatio is > 0 and <= 1, "above 0 to 1"),
            ("red-change", RedChange > 0, "above 0"),
            ("field", FieldDegrees is > 0 and <= 60, "above 0 to 60 degrees"),
            ("flash-area", FlashArea is > 0 and <= 1, "above 0 to 1"),
            ("strobe", StrobeRate > 0, "above 0 flashes a second"),
            ("strobe-dark", StrobeDarkShare is > 0 and < 1, "between 0 and 1"),
            ("strobe-lumens", StrobeLeastLumens >= 0, "0 lm or more"),
            ("clearance", ClearanceMetres is >= 0 and < 1000, "0 to 1000 m"),
            ("volume-clearance", VolumeClearanceMetres is >= 0 and < 1000, "0 to 1000 m"),
            ("moving", MovingMetresPerSecond >= 0, "0 m/s or more"),
        ])
        {
            if (!ok)
            {
                return $"the limit {key} takes {range}";
            }
        }

        return null;
    }
}
