using System.Globalization;
using System.Numerics;
using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Heads;

namespace StageView.Stage.Looks;

/// <remarks>
/// <c>aim</c> takes a point, a list of points taken in turn, <c>{ "from": …, "to": … }</c> to spread the selection along
/// a line, and with <c>"mirror": "panel wall"</c> the light reaches those points by way of the mirrors whose names begin so.
/// <c>bounce</c> turns a moving mirror so that light from one point goes to another.
/// </remarks>
public sealed partial class LookSetter
{
    private bool TryAim(Fixture fixture, int index, int count, JsonElement value, out string why)
    {
        Vector3 target;
        if (value.ValueKind == JsonValueKind.Array && value.GetArrayLength() > 0 && value[0].ValueKind is JsonValueKind.String or JsonValueKind.Array)
        {
            // A list of points: the selection takes them in turn.
            if (!TryPoint(value[index % value.GetArrayLength()], out target, out why))
            {
                return false;
            }
        }
        else if (value.ValueKind == JsonValueKind.Object && value.TryGetProperty("to", out var to))
        {
            if (!TryPoint(value.TryGetProperty("from", out var from) ? from : to, out var a, out why) || !TryPoint(to, out var b, out why))
            {
                return false;
            }

            target = Vector3.Lerp(a, b, count < 2 ? .5f : index / (float)(count - 1));
        }
        else if (!TryPoint(value, out target, out why))
        {
            return false;
        }

        if (value.ValueKind == JsonValueKind.Object && value.TryGetProperty("mirror", out var mirror)
            && !TryImage(fixture, mirror, target, index, out target, out why))
        {
            return false;
        }

        var solutions = PanTilt.Aim(fixture, target);
        if (solutions.Count == 0)
        {
            why = string.Create(CultureInfo.InvariantCulture,
                $"{fixture.Name} can't reach {target.X:0.##}, {target.Y:0.##}, {target.Z:0.##} within its pan and tilt");
            return false;
        }

        return _levels.TrySet(fixture, "Pan", solutions[0].PanDegrees, out why) && _levels.TrySet(fixture, "Tilt", solutions[0].TiltDegrees, out why);
    }

    private bool TryPoint(JsonElement value, out Vector3 point, out string why)
    {
        point = default;
        why = "";
        if (value.ValueKind == JsonValueKind.String)
        {
            if (_points.TryGetValue(value.GetString()!, out point))
            {
                return true;
            }

            why = $"no point named {value.GetRawText()}; there are {string.Join(", ", _points.Keys)}";
            return false;
        }

        if (value.ValueKind == JsonValueKind.Array && value.GetArrayLength() == 3 && value.EnumerateArray().All(v => v.ValueKind == JsonValueKind.Number))
        {
            point = new Vector3(value[0].GetSingle(), value[1].GetSingle(), value[2].GetSingle());
            return true;
        }

        why = $"{value.GetRawText()} is not a point: [x, y, z] in metres, or the name of one";
        return false;
    }

    /// <summary>
    /// The point behind a mirror that stands for <paramref name="target"/>: aimed at that image, light reaches the target by the mirror (law of reflection).
    /// </summary>
    private bool TryImage(Fixture fixture, JsonElement named, Vector3 target, int index, out Vector3 image, out string why)
    {
        var name = named.ValueKind == JsonValueKind.String ? named.GetString()! : "";
        var candidates = _levels.Rig.Mirrors.Where(m => m.Name.StartsWith(name, StringComparison.OrdinalIgnoreCase)).ToArray();
        image = target;
        if (name.Length == 0 || candidates.Length == 0)
        {
            why = $"no mirror's name begins with {named.GetRawText()}; there are {string.Join(", ", _levels.Rig.Mirrors.Take(12).Select(m => m.Name))}";
            return false;
        }

        // Of the pieces that the path really crosses, the selection takes the best centred in turn.
        var from = fixture.Pose.Position;
        var found = new List<(float Off, Vector3 Image)>();
        foreach (var mirror in candidates)
        {
            var c = mirror.Corners;
            var normal = Vector3.Normalize(Vector3.Cross(c[1] - c[0], c[2] - c[1]));
            var behind = target - (2 * Vector3.Dot(target - c[0], normal) * normal);
            var height = Vector3.Dot(from - c[0], normal);
            var depth = Vector3.Dot(behind - c[0], normal);
            if (height <= 0 || depth >= 0)
            {
                continue;
            }

            var crossing = Vector3.Lerp(from, behind, height / (height - depth));
            var middle = c.Aggregate(Vector3.Zero, (a, b) => a + b) / c.Length;
            var inside = Enumerable.Range(0, c.Length).All(i => Vector3.Dot(Vector3.Cross(c[(i + 1) % c.Length] - c[i], crossing - c[i]), normal) >= 0);
            if (inside)
            {
                found.Add((Vector3.Distance(crossing, middle), behind));
            }
        }

        if (found.Count == 0)
        {
            why = string.Create(CultureInfo.InvariantCulture,
                $"{fixture.Name} can't reach {target.X:0.##}, {target.Y:0.##}, {target.Z:0.##} by "
                + $"{(candidates.Length == 1 ? "the mirror" : $"any of the {candidates.Length} mirrors")} named {name}");
            return false;
        }

        found.Sort((a, b) => a.Off.CompareTo(b.Off));
        image = found[index % Math.Min(found.Count, 2)].Image;
        why = "";
        return true;
    }

    private bool TryTurnMirror(Fixture fixture, JsonElement value, out string why)
    {
        if (value.ValueKind != JsonValueKind.Object || !value.TryGetProperty("from", out var f) || !value.TryGetProperty("to", out var t)
            || !TryPoint(f, out var from, out why) || !TryPoint(t, out var to, out why))
        {
            why = "needs { \"from\": point, \"to\": point }: where the light comes from and where it shall go";
            return false;
        }

        var turned = PanTilt.TurnMirror(fixture, from, to);
        if (turned.Count == 0)
        {
            why = $"{fixture.Name} has no mirror that its pan and tilt can turn so";
            return false;
        }

        return _levels.TrySet(fixture, "Pan", turned[0].PanDegrees, out why) && _levels.TrySet(fixture, "Tilt", turned[0].TiltDegrees, out why);
    }
}
