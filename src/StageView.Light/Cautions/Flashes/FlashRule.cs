using StageView.Light.Cautions.Limits;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// What counts as a flash. A flash is a pair of opposing changes of luminance (up then down, or down then up) of at least <see cref="ChangeCandela"/>, whose
/// darker state lies below <see cref="DarkerCandela"/>; a red flash is a pair of changes to or from a saturated red. More than <see cref="Most"/> within any
/// one second, together over more than <see cref="Area"/> of the field, are listed.
/// </summary>
/// <remarks>
/// WCAG 2.2's thresholds are relative to white, ITU-R BT.1702's absolute; WCAG's text was read in its source, BT.1702's numbers as others quote them (there
/// is also a later edition with limits for high dynamic range, which is not followed here). Not followed either: WCAG's second definition of
/// red by chromaticity (ISO 9241-391), spatial patterns, and BT.1702's word on sequences longer than five seconds.
/// </remarks>
/// <param name="Name">Whose rule.</param>
/// <param name="ChangeCandela">cd/m².</param>
/// <param name="DarkerCandela">cd/m².</param>
/// <param name="WhiteCandela">Luminance of R = G = B = 1, cd/m².</param>
/// <param name="RedRatio">R/(R+G+B) from which red is saturated.</param>
/// <param name="RedChange">Change of (R - G - B) × 320, negative values taken as 0, that must be exceeded.</param>
/// <param name="Most">Flashes allowed within one second.</param>
/// <param name="Area">Share of the field that flashes may cover.</param>
public sealed record FlashRule(
    string Name, double ChangeCandela, double DarkerCandela, double WhiteCandela, double RedRatio, double RedChange, int Most, double Area)
{
    /// <summary>Changes of many places within this time are one event, s: a wall's packets don't all arrive at once. Our own choice.</summary>
    public const double TogetherSeconds = 0.05;

    /// <summary>WCAG 2.2, general flash and red flash thresholds: 10 % of white, darker image below .80.</summary>
    public static FlashRule Wcag(CautionLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        return new FlashRule(
            "WCAG 2.2",
            limits.FlashShare * limits.WhiteCandela,
            limits.FlashDarkerShare * limits.WhiteCandela,
            limits.WhiteCandela,
            limits.RedRatio,
            limits.RedChange,
            limits.MostFlashes,
            limits.FlashArea);
    }

    /// <summary>ITU-R BT.1702: 20 cd/m², darker image below 160 cd/m².</summary>
    public static FlashRule Broadcast(CautionLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        return new FlashRule("ITU-R BT.1702", limits.FlashCandela, limits.FlashDarkerCandela, limits.WhiteCandela, limits.RedRatio, limits.RedChange,
            limits.MostFlashes, limits.FlashArea);
    }

    /// <summary>True when both rules ask the same of luminances, as they do at 200 cd/m² white: one meter then serves both.</summary>
    public bool Agrees(FlashRule other) => other is not null && this with { Name = "" } == other with { Name = "" };
}
