using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Show.Questions;

/// <summary>How points and names are read and written.</summary>
public static class Texts
{
    public static string Point(Vector3 p) => string.Create(CultureInfo.InvariantCulture, $"{Plain(p.X):0.00}, {Plain(p.Y):0.00}, {Plain(p.Z):0.00}");

    /// <summary>A number without a sign where only zeros are shown.</summary>
    public static string F(double v, string format = "0.0") => v.ToString(format, CultureInfo.InvariantCulture) is var text && text.AsSpan().Trim("-0.").IsEmpty
        ? text.TrimStart('-') : text;

    /// <summary>Rounded to the two decimals that are shown, without a sign on zero.</summary>
    private static double Plain(float v) => Math.Round(v, 2) + 0.0;

    public static float[] Array(Vector3 p) => [p.X, p.Y, p.Z];

    /// <summary>Reads <c>x,y,z</c> in metres, or the name of a focus point of the rig.</summary>
    /// <exception cref="StopException">It isn't one.</exception>
    public static Vector3 ToPoint(RigScene rig, string option, string text) => TryPoint(text, out var p) || TryNamed(rig, text, out p)
        ? p
        : throw StopException.Wrong($"{option} {text} is no point: write x,y,z in metres, such as 0,2.6,1.5, or one of the rig's \"focusPoints\""
            + rig.WhereGone(text) + Nearest.Among(text, [.. rig.FocusPoints.Select(f => f.Name)]));

    /// <summary>A focus point of the rig by its name, whatever its case.</summary>
    public static bool TryNamed(RigScene rig, string name, out Vector3 point)
    {
        var found = rig.FocusPoints.FirstOrDefault(f => f.Name == name)
            ?? rig.FocusPoints.FirstOrDefault(f => f.Name.Equals(name, StringComparison.OrdinalIgnoreCase));
        point = found?.Position ?? default;
        return found is not null;
    }

    public static bool TryPoint(string text, out Vector3 point)
    {
        point = default;
        var parts = text.Split(',');
        Span<float> v = stackalloc float[3];
        for (var i = 0; i < 3 && parts.Length == 3; i++)
        {
            if (!float.TryParse(parts[i], NumberStyles.Float, CultureInfo.InvariantCulture, out v[i]) || !float.IsFinite(v[i]) || MathF.Abs(v[i]) > 10_000)
            {
                return false;
            }
        }

        point = new Vector3(v[0], v[1], v[2]);
        return parts.Length == 3;
    }

    public static string Fixture(RigScene rig, FixtureIndex index) =>
        !index.IsNone && index.Value < rig.Fixtures.Count ? rig.Fixtures[index.Value].Name : "?";

    public static string Mirror(Moment moment, MirrorIndex index) =>
        moment[index].Name is { IsNone: false } n && n.Value < moment.MirrorNames.Count ? moment.MirrorNames[n.Value] : $"mirror {index}";

    /// <summary>What something landed on or is blocked by.</summary>
    public static string Surface(Moment moment, RigScene rig, InstanceIndex instance, MirrorIndex mirror)
    {
        if (!mirror.IsNone)
        {
            return Mirror(moment, mirror);
        }

        if (instance.IsNone)
        {
            return "";
        }

        var piece = moment[instance];
        return !piece.Name.IsNone && piece.Name.Value < moment.SceneryNames.Count ? moment.SceneryNames[piece.Name.Value] : Fixture(rig, piece.Fixture);
    }
}
