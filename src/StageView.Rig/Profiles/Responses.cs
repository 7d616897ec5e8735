using StageView.Ground.Numbers;

namespace StageView.Rig.Profiles;

/// <summary>The shapes of <see cref="ResponseCurve"/>, shares of 0 to 1 both ways.</summary>
public static class Responses
{
    public static float At(ResponseCurve curve, float x) => curve switch
    {
        ResponseCurve.Square => x * x,
        ResponseCurve.SCurve => x * x * (3 - (2 * x)),
        ResponseCurve.SquareRoot => MathF.Sqrt(x),
        _ => x,
    };

    public static float Inverse(ResponseCurve curve, float y)
    {
        y = Math.Clamp(y, 0, 1);
        return curve switch
        {
            ResponseCurve.Square => MathF.Sqrt(y),
            ResponseCurve.SquareRoot => y * y,
            // Root of 3x² - 2x³ = y in 0..1, by the trigonometric solution of the cubic.
            ResponseCurve.SCurve => 0.5f - Trig.Sin(Trig.Asin(1 - (2 * y)) / 3),
            _ => y,
        };
    }
}
