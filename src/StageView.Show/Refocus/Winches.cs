using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage;
using StageView.Stage.Moves;
using StageView.Stage.Programs;

namespace StageView.Show.Refocus;

/// <summary>
/// Winches that hang higher or lower in the new venue: each held height is kept over the stage floor, by as much more or less travel as its hang moved, within
/// what the winch can do.
/// </summary>
internal sealed class Winches
{
    /// <summary>Hangs nearer to each other are the same, and so are heights, m.</summary>
    private const float Near = .001f;

    /// <summary>Winches that lean farther than this from the vertical are left as they are: cosine.</summary>
    private const float Upright = .7f;

    private readonly List<Winch> _winches = [];
    private readonly StageModel _before, _after;
    private readonly AxisLevels _levels;

    private sealed record Winch(Fixture Old, Fixture New, int OldNode, int NewNode, float Shift, float Upward, string Attribute, float From, float To);

    public Winches(StageModel before, StageModel after, AxisLevels levels)
    {
        (_before, _after, _levels) = (before, after, levels);
        var (old, now) = (before.Rig, after.Rig);
        var (was, places) = (PlacesAtRest.Places(old), PlacesAtRest.Places(now));
        var byName = old.Fixtures.GroupBy(f => f.Name, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);
        foreach (var f in now.Fixtures.Where(f => f.Carrier is null))
        {
            foreach (var node in f.Mode.Geometry.Where(g => g.Axis?.Motion == AxisMotion.TravelZ))
            {
                if (!byName.TryGetValue(f.Name, out var o) || o.Mode.Geometry.FirstOrDefault(g => g.Name == node.Name) is not { } same
                    || AxisLevels.Range(f, AttributeOp.Travel, node.Index) is not { } range)
                {
                    continue;
                }

                var holder = node.Parent < 0 ? f.Pose : places[f.Index.Value][node.Parent];
                var axis = holder.TransformDirection(Vector3.UnitZ);
                var moved = was[o.Index.Value][same.Index].Position - places[f.Index.Value][node.Index].Position;
                if (MathF.Abs(axis.Z) >= Upright && MathF.Abs(moved.Z) > Near)
                {
                    _winches.Add(new Winch(o, f, same.Index, node.Index, moved.Z / axis.Z, axis.Z, range.Attribute, range.From, range.To));
                }
            }
        }
    }

    /// <summary>Lets the winches of the new venue stand as high over the floor as those of the old one do at a time.</summary>
    public void Hold(TimeSpan at)
    {
        foreach (var w in _winches)
        {
            var value = (float)_before.AxisAt(at, w.Old.Index, w.OldNode) + w.Shift;
            _after.Stand(w.New.Index, w.NewNode, Math.Clamp(value, w.From, w.To));
        }
    }

    /// <summary>The heights that are held, each with the value that keeps it; nothing for winches that hang where they did.</summary>
    public IReadOnlyList<WinchRow> Rows(TimeSpan end)
    {
        if (_winches.Count == 0)
        {
            return [];
        }

        var rows = new List<WinchRow>();
        var held = _before.FindHeights(end).ToLookup(h => (h.Axis.Fixture, h.Axis.Geometry));
        foreach (var w in _winches)
        {
            var heights = new List<(float Metres, List<HeldHeight> Uses)>();
            foreach (var h in held[(w.Old.Index, w.OldNode)])
            {
                var known = heights.FindIndex(k => MathF.Abs(k.Metres - h.Axis.Value) < .005f);
                if (known < 0)
                {
                    heights.Add((h.Axis.Value, [h]));
                }
                else
                {
                    heights[known].Uses.Add(h);
                }
            }

            foreach (var (metres, uses) in heights)
            {
                var now = Math.Clamp(metres + w.Shift, w.From, w.To);
                var lower = (metres + w.Shift - now) * w.Upward;
                rows.Add(new WinchRow(w.New.Name, w.New.Number, w.New.Position, [.. uses.Select(u => Math.Round(u.From, 2))], metres, now,
                    MathF.Abs(lower) < Near ? 0 : lower, Carried(w.New), _levels.Of(w.New, (w.Attribute, now))));
            }
        }

        return rows;
    }

    private IReadOnlyList<string> Carried(Fixture winch)
    {
        var rig = _after.Rig;
        return
        [
            .. rig.Fixtures.Where(f => f.Carrier?.Fixture == winch.Index).Select(f => f.Name),
            .. rig.Scenery.Where(s => s.Carrier?.Fixture == winch.Index).Select(s => s.Name).Distinct(StringComparer.Ordinal),
        ];
    }
}
