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
    private const string Variance = "US variances from 21 CFR 1040.11(c)";

    private static readonly CautionLimitRow[] Rows =
    [
        new("least", l => l.LeastLux, (l, v) => l with { LeastLux = v }, 0, 1e6, "lx", "light below this is not listed", NoSource),
        new("exposure", l => l.ExposureSeconds, (l, v) => l with { ExposureSeconds = v }, 5e-6, 10, "s", "exposure time for the laser limit",
            Iec + ", 4.3 e: aversion response, 400 to 700 nm"),
        new("laserHeight", l => l.LaserHeightMetres, (l, v) => l with { LaserHeightMetres = v }, 0, 1000, "m", "laser rays closer above a volume are listed",
            Variance + " with an operator in control, as others cite them; codes differ"),
        new("laserSide", l => l.LaserSideMetres, (l, v) => l with { LaserSideMetres = v }, 0, 1000, "m",
            "laser rays closer beside or below a volume are listed", Variance + ", as others cite them; codes differ"),
        new("pupil", l => l.PupilMetres, (l, v) => l with { PupilMetres = v }, 0.001, 0.1, "m", "opening over which a laser's exposure is averaged",
            Iec + ", limiting apertures of annex A, 400 to 1,400 nm (from memory)"),
        new("flashes", l => l.MostFlashes, (l, v) => l with { MostFlashes = (int)v }, 0, 100, "", "flashes within any one second above which they are listed",
            Wcag + "; " + Broadcast),
        new("white", l => l.WhiteCandela, (l, v) => l with { WhiteCandela = v }, 0.1, 1e6, "cd/m2", "luminance taken as white",
            "the luminance at which WCAG's shares are BT.1702's limits"),
        new("flashChange", l => l.FlashCandela, (l, v) => l with { FlashCandela = v }, 0.1, 1e6, "cd/m2",
            "change of luminance that is half a flash", Broadcast),
        new("flashDarker", l => l.FlashDarkerCandela, (l, v) => l with { FlashDarkerCandela = v }, 0.1, 1e6, "cd/m2",
            "the darker image of a flash lies below this", Broadcast),
        new("flashShare", l => l.FlashShare, (l, v) => l with { FlashShare = v }, 0.001, 1, "", "change that is half a flash, share of white", Wcag),
        new("flashDarkerShare", l => l.FlashDarkerShare, (l, v) => l with { FlashDarkerShare = v }, 0.001, 1, "",
            "the darker image of a flash lies below this share of white", Wcag),
        new("redRatio", l => l.RedRatio, (l, v) => l with { RedRatio = v }, 0.34, 1, "", "R/(R+G+B) of a saturated red",
            Wcag + ", note (Harding and Binnie 2002)"),
        new("redChange", l => l.RedChange, (l, v) => l with { RedChange = v }, 0.1, 320, "", "change of (R-G-B) x 320 of half a red flash",
            Wcag + ", note (Harding and Binnie 2002)"),
        new("field", l => l.FieldDegrees, (l, v) => l with { FieldDegrees = v }, 1, 60, "degrees",
            "part of the visual field over which flashing areas add up", Wcag),
        new("flashArea", l => l.FlashArea, (l, v) => l with { FlashArea = v }, 0.001, 1, "", "share of that part above which flashes count",
            Wcag + "; " + Broadcast + " (of the picture)"),
        new("strobe", l => l.StrobeRate, (l, v) => l with { StrobeRate = v }, 0.1, 100, "flashes/s", "rate of a fixture above which it is listed",
            "UK Health and Safety Executive, cited by the Epilepsy Society (Minimising risk from flashing lights)"),
        new("strobeDark", l => l.StrobeDarkShare, (l, v) => l with { StrobeDarkShare = v }, 0.01, 0.99, "",
            "share of its brightest below which a fixture's light must fall", NoSource),
        new("strobeLumens", l => l.StrobeLeastLumens, (l, v) => l with { StrobeLeastLumens = v }, 0, 1e6, "lm", "fixtures below this are dark", NoSource),
        new("clearance", l => l.ClearanceMetres, (l, v) => l with { ClearanceMetres = v }, 0, 1000, "m", "moving pieces closer to each other are listed",
            NoSource),
        new("volumeClearance", l => l.VolumeClearanceMetres, (l, v) => l with { VolumeClearanceMetres = v }, 0, 1000, "m",
            "moving pieces closer to a volume are listed", NoSource),
        new("moving", l => l.MovingMetresPerSecond, (l, v) => l with { MovingMetresPerSecond = v }, 0, 100, "m/s", "slower pieces stand still", NoSource),
    ];

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

    /// <summary>What can be set, by the names that rig files and command lines use, in reading order.</summary>
    public static IReadOnlyList<CautionLimitRow> Settable => Rows;

    /// <summary>All limits in reading order.</summary>
    public IReadOnlyList<CautionLimit> All => Of(0, Rows.Length);

    public CautionLimit Lux => Of(0, 1)[0];

    public IReadOnlyList<CautionLimit> Laser => Of(1, 4);

    public IReadOnlyList<CautionLimit> Flash => Of(5, 10);

    public IReadOnlyList<CautionLimit> Strobe => Of(15, 3);

    public IReadOnlyList<CautionLimit> Moving => Of(18, 3);

    /// <summary>These limits with one changed; null when there is none of the name. Values out of range are found by <see cref="Fault"/>.</summary>
    /// <param name="key">Such as laserHeight.</param>
    /// <param name="value">In the limit's unit.</param>
    public CautionLimits? With(string key, double value) => Array.Find(Rows, r => r.Key == key)?.Set(this, value);

    /// <summary>The first limit out of its range, in a sentence; null when all are fine.</summary>
    public string? Fault() =>
        Array.Find(Rows, r => !(r.Get(this) >= r.From && r.Get(this) <= r.To)) is { } row ? $"the limit {row.Key} takes {row.Range}" : null;

    private CautionLimit[] Of(int first, int count) =>
        [.. Rows.Skip(first).Take(count).Select(r => new CautionLimit(r.Key, r.Get(this), r.Unit, r.Meaning, r.Source))];
}
