using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Moving;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage;

namespace StageView.Show.Cautions;

/// <summary>
/// What of a rig may move, and where it is in a moment: bodies and mirrors of fixtures with pan, tilt or travel, and all that hangs on them. What hangs on
/// one winch is one group; heads that only turn are one group too, so that they are held against what travels and not against each other.
/// </summary>
internal sealed class MovingPieces
{
    private readonly RigScene _rig;
    private readonly List<MovingPiece> _pieces = [];
    private readonly List<FixtureIndex> _fixtures = [];
    private readonly bool[] _travels;
    private readonly int[] _roots;
    private readonly bool[] _moves;
    private readonly FixtureIndex[] _mirrorsOf;
    private readonly Dictionary<MeshIndex, (Vector3 Least, Vector3 Most)> _bounds = [];
    private Solid[] _solids = [];
    private bool[] _heard = [];
    private bool[] _wasHeard = [];
    private bool[] _placed = [];

    public MovingPieces(RigScene rig)
    {
        _rig = rig;
        // A moment's names of mirrors: those that hang in the rig, then each fixture's own.
        _mirrorsOf = [.. rig.Mirrors.Select(_ => FixtureIndex.None),
            .. rig.Fixtures.SelectMany((f, i) => f.Mode.Geometry.Where(g => g.Mirror is not null).Select(_ => new FixtureIndex(i)))];
        var count = rig.Fixtures.Count;
        (_travels, _moves, _roots) = (new bool[count], new bool[count], new int[count]);
        for (var i = 0; i < count; i++)
        {
            _roots[i] = i;
            for (var (at, depth) = (i, 0); depth < 16; depth++)
            {
                var axes = rig.Fixtures[at].Mode.Geometry.Where(g => g.Axis is not null);
                _moves[i] |= axes.Any();
                _travels[i] |= axes.Any(g => g.Axis!.Motion == AxisMotion.TravelZ);
                _roots[i] = at;
                if (rig.Fixtures[at].Carrier is not { } c)
                {
                    break;
                }

                at = c.Fixture.Value;
            }
        }
    }

    public IReadOnlyList<MovingPiece> Pieces => _pieces;

    /// <summary>How many fixtures may move but have no body or mirror to be followed.</summary>
    public int WithoutBody { get; private set; }

    public FixtureIndex FixtureOf(int piece) => _fixtures[piece];

    /// <summary>Which pieces were first told where to be since the last call: they, or what they hang on.</summary>
    public ReadOnlySpan<bool> Placed(StageModel stage)
    {
        if (_heard.Length == 0)
        {
            (_heard, _wasHeard, _placed) = (new bool[_moves.Length], new bool[_moves.Length], new bool[_pieces.Count]);
            stage.Heard(_wasHeard);
            return _placed;
        }

        stage.Heard(_heard);
        for (var i = 0; i < _placed.Length; i++)
        {
            _placed[i] = false;
            for (var (at, depth) = (_fixtures[i].Value, 0); depth < 16 && at >= 0; depth++)
            {
                _placed[i] |= _heard[at] && !_wasHeard[at];
                at = _rig.Fixtures[at].Carrier?.Fixture.Value ?? -1;
            }
        }

        (_heard, _wasHeard) = (_wasHeard, _heard);
        return _placed;
    }

    /// <summary>Whether the piece travels, rather than only turns.</summary>
    public bool Travels(int piece) => _pieces[piece].Group < _rig.Fixtures.Count;

    /// <summary>Where each piece is; the list of pieces is that of the first moment.</summary>
    public ReadOnlySpan<Solid> At(Moment moment)
    {
        var first = _solids.Length == 0;
        var solids = first ? new List<Solid>() : null;
        var n = 0;
        void Put(FixtureIndex fixture, string name, in Solid solid)
        {
            if (fixture.IsNone || !_moves[fixture.Value])
            {
                return;
            }

            if (solids is not null)
            {
                solids.Add(solid);
                _pieces.Add(new MovingPiece(name, _travels[fixture.Value] ? _roots[fixture.Value] : _rig.Fixtures.Count));
                _fixtures.Add(fixture);
            }
            else
            {
                _solids[n++] = solid;
            }
        }

        foreach (ref readonly var instance in moment.Scenery.Span)
        {
            if (!instance.Fixture.IsNone)
            {
                Put(instance.Fixture, _rig.Fixtures[instance.Fixture.Value].Name, BoxOf(moment, instance));
            }
            else if (!instance.Name.IsNone && _rig.Scenery[instance.Name.Value].Carrier is { } carrier)
            {
                Put(carrier.Fixture, _rig.Scenery[instance.Name.Value].Name, BoxOf(moment, instance));
            }
        }

        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            if (_mirrorsOf[mirror.Name.Value] is { IsNone: false } owner)
            {
                Put(owner, _rig.Fixtures[owner.Value].Name, PlateOf(moment.OutlineOf(mirror.Outline), mirror.Normal));
            }
        }

        if (solids is not null)
        {
            _solids = [.. solids];
            WithoutBody = Enumerable.Range(0, _moves.Length).Count(i => _moves[i] && !_fixtures.Contains(new FixtureIndex(i)));
        }

        return _solids;
    }

    private Solid BoxOf(Moment moment, in MeshInstance instance)
    {
        if (!_bounds.TryGetValue(instance.Mesh, out var box))
        {
            var positions = moment.Meshes[instance.Mesh.Value].Positions;
            box = positions.Length == 0 ? default : (positions.Aggregate(Vector3.Min), positions.Aggregate(Vector3.Max));
            _bounds[instance.Mesh] = box;
        }

        var (least, most) = (box.Least * instance.Scale, box.Most * instance.Scale);
        return Solid.Box(instance.Pose with { Position = instance.Pose.TransformPoint((least + most) / 2) }, most - least);
    }

    /// <summary>A flat outline as the box about it, in the axes of its longest edge.</summary>
    private static Solid PlateOf(ReadOnlySpan<Vector3> outline, Vector3 normal)
    {
        var edge = Vector3.Zero;
        for (var i = 0; i < outline.Length; i++)
        {
            var e = outline[(i + 1) % outline.Length] - outline[i];
            edge = e.LengthSquared() > edge.LengthSquared() ? e : edge;
        }

        var x = Vector3.Normalize(edge);
        var y = Vector3.Cross(normal, x);
        var (least, most) = (new Vector3(float.MaxValue), new Vector3(float.MinValue));
        foreach (var p in outline)
        {
            var local = new Vector3(Vector3.Dot(p, x), Vector3.Dot(p, y), Vector3.Dot(p, normal));
            (least, most) = (Vector3.Min(least, local), Vector3.Max(most, local));
        }

        var middle = (least + most) / 2;
        var turn = new Matrix4x4(x.X, x.Y, x.Z, 0, y.X, y.Y, y.Z, 0, normal.X, normal.Y, normal.Z, 0, 0, 0, 0, 1);
        return Solid.Box(new Pose((x * middle.X) + (y * middle.Y) + (normal * middle.Z), Quaternion.CreateFromRotationMatrix(turn)), most - least);
    }
}
