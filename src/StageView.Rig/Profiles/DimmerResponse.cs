using System.Globalization;
using System.Text.RegularExpressions;

namespace StageView.Rig.Profiles;

/// <summary>
/// The response that a dimmer curve's name stands for: linear, square law, its inverse, S, or a power. What the trade calls them is common practice, no source;
/// the formulas are those of <see cref="ResponseCurve"/>.
/// </summary>
public readonly partial record struct DimmerResponse(ResponseCurve Curve, float Power)
{
    public static DimmerResponse Linear { get; } = new(ResponseCurve.Linear, 1);

    /// <summary>Reads a name such as "Square law", "S-Curve", "Gamma 2.2".</summary>
    /// <returns>Null where the name says nothing that is known.</returns>
    public static DimmerResponse? Read(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var words = NotWord().Replace(name.ToLowerInvariant(), " ").Trim();
        if (Gamma().Match(words) is { Success: true } gamma
            && float.TryParse(gamma.Groups[1].ValueSpan, NumberStyles.Float, CultureInfo.InvariantCulture, out var power) && power is >= .2f and <= 5)
        {
            return new(ResponseCurve.Linear, power);
        }

        words = string.Join(' ', words.Split(['.', ' '], StringSplitOptions.RemoveEmptyEntries));
        bool Has(params string[] any) => any.Any(a => $" {words} ".Contains($" {a} ", StringComparison.Ordinal));
        return Has("non linear", "nonlinear") ? null
            : Has("linear") ? Linear
            : Has("inverse square", "inverse square law", "inversed square law", "inverted square", "inv square law", "inv square", "square root", "inverse") ?
                new(ResponseCurve.SquareRoot, 1)
            : Has("s curve", "scurve", "s law", "s") ? new(ResponseCurve.SCurve, 1)
            : Has("square", "square law", "quadratic", "squared", "sq law") ? new(ResponseCurve.Square, 1)
            : null;
    }

    /// <summary>What comes out for a share of 0 to 1.</summary>
    public float At(float x) => Power != 1 ? MathF.Pow(Math.Clamp(x, 0, 1), Power) : Responses.At(Curve, x);

    /// <summary>The share that gives <paramref name="y"/>.</summary>
    public float Inverse(float y) => Power != 1 ? MathF.Pow(Math.Clamp(y, 0, 1), 1 / Power) : Responses.Inverse(Curve, y);

    /// <summary>For people.</summary>
    public override string ToString() => Power != 1 ? string.Create(CultureInfo.InvariantCulture, $"output = input^{Power:0.##}") : Curve switch
    {
        ResponseCurve.Square => "output = input²",
        ResponseCurve.SCurve => "output = 3 input² - 2 input³",
        ResponseCurve.SquareRoot => "output = √input",
        _ => "output = input",
    };

    [GeneratedRegex("[^a-z0-9.]+")]
    private static partial Regex NotWord();

    [GeneratedRegex("gamma ?([0-9]+(?:\\.[0-9]+)?)")]
    private static partial Regex Gamma();
}
