using System.Globalization;
using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Heads;

namespace StageView.Stage.Looks;

/// <remarks>
/// <c>aim</c> takes a point, a list of points taken in turn, <c>{ "from": …, "to": … }</c> to spread the selection along
/// a line, and with <c>"mirror": "panel wall"</c> the light reaches those points by way of the mirrors whose names begin so.
/// <c>bounce</c> turns a moving mirror so that light from one point goes to another.
/// </remarks>
internal sealed partial class LookSetter
{
    /// <summary>The points that an aim names; false with a problem noted where one is no point.</summary>
    private bool TryAims(SourceNode value, ProblemList problems, out Vector3[] points, out bool isLine)
    {
        isLine = value.Kind == SourceKind.Object;
        IReadOnlyList<SourceNode> written = value switch
        {
            { Kind: SourceKind.Object } => [value.Get("from") ?? value.Get("to")!, value.Get("to")!],
            { Kind: SourceKind.List } when value.Items[0].Kind != SourceKind.Number => value.Items,
            _ => [value],
        };
        points = new Vector3[written.Count];
        for (var i = 0; i < points.Length; i++)
        {
            if (!TryPoint(written[i], problems, out points[i]))
            {
                return false;
            }
        }

        return true;
    }

    private bool TryAim(Fixture fixture, int index, int count, Vector3[] points, bool isLine, string? mirror, out string why)
    {
        // A list is taken in turn, a line is shared out.
        var target = isLine ? Vector3.Lerp(points[0], points[1], count < 2 ? .5f : index / (float)(count - 1)) : points[index % points.Length];
        if (mirror is not null && !TryImage(fixture, mirror, target, index, out target, out why))
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

    private bool TryPoint(SourceNode value, ProblemList problems, out Vector3 point)
    {
        if (value.Kind == SourceKind.Text)
        {
            if (_points.TryGetValue(value.Text, out point))
            {
                return true;
            }

            problems.Error(value, $"no point named \"{value.Text}\" in this file's \"points\" or the rig's \"focusPoints\""
                + _levels.Rig.WhereGone(value.Text) + Nearest.Among(value.Text, [.. _points.Keys]));
            return false;
        }

        point = value.AsVector() ?? default;
        if (value is { Kind: SourceKind.List, Items.Count: 3 } && value.Items.All(i => i.Kind == SourceKind.Number))
        {
            return true;
        }

        problems.Error(value, "is not a point: [x, y, z] in metres, or the name of one");
        return false;
    }

    /// <summary>
    /// The point behind a mirror that stands for <paramref name="target"/>: aimed at that image, light reaches the target by the mirror (law of reflection).
    /// </summary>
    private bool TryImage(Fixture fixture, string name, Vector3 target, int index, out Vector3 image, out string why)
    {
        var candidates = _levels.Rig.Mirrors.Where(m => m.Name.StartsWith(name, StringComparison.OrdinalIgnoreCase)).ToArray();
        image = target;
        if (name.Length == 0 || candidates.Length == 0)
        {
            why = $"no mirror's name begins with \"{name}\"{_levels.Rig.WhereGone(name, begins: true)}; there are "
                + $"{string.Join(", ", _levels.Rig.Mirrors.Take(12).Select(m => m.Name))}";
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

    private bool TryTurnMirror(Fixture fixture, Vector3 from, Vector3 to, out string why)
    {
        var turned = PanTilt.TurnMirror(fixture, from, to);
        if (turned.Count == 0)
        {
            why = $"{fixture.Name} has no mirror that its pan and tilt can turn so";
            return false;
        }

        return _levels.TrySet(fixture, "Pan", turned[0].PanDegrees, out why) && _levels.TrySet(fixture, "Tilt", turned[0].TiltDegrees, out why);
    }
}
