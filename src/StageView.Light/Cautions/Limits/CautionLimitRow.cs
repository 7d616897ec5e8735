using System.Globalization;

namespace StageView.Light.Cautions.Limits;

/// <summary>How one limit is called, read and set.</summary>
/// <param name="Key">Its name in rig files and on the command line.</param>
/// <param name="Get">Reads it.</param>
/// <param name="Set">The limits with another value of it.</param>
/// <param name="From">Lowest value taken.</param>
/// <param name="To">Highest value taken.</param>
/// <param name="Unit">Such as lx; empty for a number or share.</param>
/// <param name="Meaning">What it decides, one clause.</param>
/// <param name="Source">Where the default comes from, or <see cref="CautionLimits.NoSource"/>.</param>
public sealed record CautionLimitRow(
    string Key, Func<CautionLimits, double> Get, Func<CautionLimits, double, CautionLimits> Set, double From, double To, string Unit, string Meaning,
    string Source)
{
    /// <summary>The range in words, such as "0 to 1000 m".</summary>
    public string Range => string.Create(CultureInfo.InvariantCulture, $"{From:0.######} to {To:0.######} {Unit}").TrimEnd();
}
