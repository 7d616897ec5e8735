using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Show.Cautions;

/// <summary>The lasers of a rig: like apertures of one fixture are one.</summary>
internal sealed class LaserGroups
{
    private readonly List<(Fixture Fixture, GeometryNode Node, List<GeometryNode> All)> _groups = [];
    private readonly Dictionary<(int Fixture, int Emitter), int> _of = [];

    public LaserGroups(RigScene rig)
    {
        foreach (var f in rig.Fixtures)
        {
            // Emitters are counted as the stage counts them: whatever gives light.
            var emitter = -1;
            foreach (var node in f.Mode.Geometry.Where(n => n.Beam is not null || n.Pixels is not null || n.Laser is not null))
            {
                emitter++;
                if (node.Laser is not { } laser)
                {
                    continue;
                }

                var at = _groups.FindIndex(g => g.Fixture.Index == f.Index && g.Node.Laser is { } known && known.PowerWatts == laser.PowerWatts
                    && known.ApertureMetres == laser.ApertureMetres && known.DivergenceRadians == laser.DivergenceRadians && known.Scan == laser.Scan
                    && known.Wavelengths.AsSpan().SequenceEqual(laser.Wavelengths));
                if (at < 0)
                {
                    at = _groups.Count;
                    _groups.Add((f, node, []));
                }

                _groups[at].All.Add(node);
                _of[(f.Index.Value, emitter)] = at;
            }
        }
    }

    public int Count => _groups.Count;

    public (Fixture Fixture, GeometryNode First, int Apertures) this[int group] =>
        (_groups[group].Fixture, _groups[group].Node, _groups[group].All.Count);

    public IReadOnlyList<GeometryNode> Apertures(int group) => _groups[group].All;

    public int Of(FixtureIndex fixture, int emitter) => _of[(fixture.Value, emitter)];
}
