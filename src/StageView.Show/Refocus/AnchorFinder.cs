using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage.Heads;

namespace StageView.Show.Refocus;

/// <summary>Guesses what the positions were for that are held at one moment of the old venue.</summary>
internal sealed class AnchorFinder
{
    /// <summary>Axes that pass a point nearer than this cross there, m; and so far from where it lands a crossing counts.</summary>
    private const float Near = .3f;

    private const float Far = 200;

    /// <summary>What goes on after mirrors without end is aimed at a point so far along, m.</summary>
    private const float FarPoint = 50;
    private readonly RigScene _rig;
    private readonly Moment _moment;
    private readonly OcclusionScene _scene;
    private readonly List<(FixtureIndex Fixture, Leg Last)> _legs = [];
    private readonly Dictionary<string, Vector3[]> _mirrors = new(StringComparer.Ordinal);
    private readonly Dictionary<FixtureIndex, (Leg Last, List<string> Via)> _ways = [];
    private readonly Dictionary<FixtureIndex, List<Vector3>> _corners = [];

    /// <param name="rig">The old venue's rig.</param>
    /// <param name="roots">Where its fixtures hang.</param>
    /// <param name="moment">A moment of it.</param>
    /// <param name="held">The positions held then.</param>
    public AnchorFinder(RigScene rig, Pose[] roots, Moment moment, IEnumerable<HeldPosition> held)
    {
        (_rig, _moment, _scene) = (rig, moment, OcclusionScene.From(moment));
        foreach (var position in held)
        {
            // The head's own axis: a prism's facets shine beside it.
            if (BeamOf(position.Fixture) is { Profile.IsOmnidirectional: false } beam
                && PanTilt.Beam(rig[position.Fixture], position.Pan, position.Tilt, roots[position.Fixture.Value]) is { } axis)
            {
                _ways[position.Fixture] = Follow(beam, axis.Position, axis.Direction);
                _legs.Add((position.Fixture, _ways[position.Fixture].Last));
            }
        }
    }

    /// <summary>What a fixture's beam is for at this moment; null where it has none.</summary>
    public Anchor? Of(FixtureIndex fixture)
    {
        if (!_ways.TryGetValue(fixture, out var way))
        {
            return null;
        }

        var (leg, via) = way;
        var anchor = Named(leg, via) ?? Person(leg, via) ?? Crossing(fixture, leg, via) ?? Audience(leg, via) ?? Piece(leg, via);
        var far = via.Count == 0 ? leg.Direction : leg.From + (leg.Direction * FarPoint);
        var axis = (IReadOnlyList<Vector3>)[.. _corners[fixture], leg.From + (leg.Direction * (leg.Hit is null ? FarPoint : leg.Length))];
        return anchor is null ? new Anchor(AnchorKind.Direction, "", far, far, via, "the beam's axis meets nothing") { Way = axis }
            : anchor with { Way = axis, Length = leg.Before + Vector3.Distance(anchor.Place, leg.From) };
    }

    /// <summary>The outlines of the mirrors that were met, by name.</summary>
    public IReadOnlyDictionary<string, Vector3[]> Mirrors => _mirrors;

    /// <summary>The first beam of a fixture at this moment; null where it has none.</summary>
    public Beam? BeamOf(FixtureIndex fixture)
    {
        for (var i = 0; i < _moment.Beams.Length; i++)
        {
            if (_moment[new BeamIndex(i)].Fixture == fixture)
            {
                return _moment[new BeamIndex(i)];
            }
        }

        return null;
    }

    /// <summary>The last straight part of a beam's axis, after the mirrors that it meets.</summary>
    private (Leg Last, List<string> Via) Follow(Beam beam, Vector3 from, Vector3 direction)
    {
        var via = new List<string>();
        var (mirror, length) = (MirrorIndex.None, 0f);
        var corners = _corners[beam.Fixture] = [from];
        while (true)
        {
            if (!_scene.Closest(from, direction, Far, beam.Fixture, mirror, out var hit))
            {
                return (new Leg(from, direction, Far, null, beam.Profile.HalfBeamRadians, length) { Apex = beam.StartDistance }, via);
            }

            if (hit.Mirror.IsNone || via.Count > _rig.Bounces)
            {
                return (new Leg(from, direction, hit.Distance, hit, beam.Profile.HalfBeamRadians, length) { Apex = beam.StartDistance }, via);
            }

            via.Add(Texts.Mirror(_moment, hit.Mirror));
            _mirrors.TryAdd(via[^1], _moment.OutlineOf(_moment[hit.Mirror].Outline).ToArray());

            // The metal lies behind its sheet: light turns where an image without the sheet's bending would have its plane.
            var met = _moment[hit.Mirror];
            var cosine = MathF.Abs(Vector3.Dot(direction, met.Normal));
            var deeper = (float)MirrorOptics.EffectiveDepth(met.SheetThickness, met.SheetIndex, cosine) / MathF.Max(cosine, .01f);
            (from, length) = (hit.Point + (direction * deeper), length + hit.Distance + deeper);
            (direction, mirror) = (Vector3.Reflect(direction, met.Normal), hit.Mirror);
            corners.Add(from);
        }
    }

    private Anchor? Named(Leg leg, List<string> via)
    {
        var best = _rig.FocusPoints.Select(p => (Point: p, Off: leg.AngleTo(p.Position), Reaches: leg.Reaches(p.Position)))
            .Where(p => p.Reaches && p.Off <= leg.HalfBeam).OrderBy(p => p.Off).FirstOrDefault();
        return best.Point is null ? null : new Anchor(AnchorKind.Point, best.Point.Name, best.Point.Position, best.Point.Position, via,
            string.Create(CultureInfo.InvariantCulture, $"the named point lies {best.Off * 180 / MathF.PI:0.0} degrees from the axis, within the beam"));
    }

    private Anchor? Person(Leg leg, List<string> via) =>
        leg.Hit is { Instance: { IsNone: false } i } && _moment[i].Kind == SceneryKind.Person
            ? On(AnchorKind.Person, leg, via, "the axis meets the figure") : null;

    private Anchor? Piece(Leg leg, List<string> via) => leg.Hit is { Instance: { IsNone: false } i } && !_moment[i].Name.IsNone
        ? On(AnchorKind.Piece, leg, via, "the axis meets it; no named point lies within the beam") : null;

    private Anchor On(AnchorKind kind, Leg leg, List<string> via, string why)
    {
        var hit = leg.Hit!.Value;
        var piece = _moment[hit.Instance];
        return new Anchor(kind, _moment.SceneryNames[piece.Name.Value], hit.Point, piece.Pose.InverseTransformPoint(hit.Point), via, why);
    }

    private Anchor? Audience(Leg leg, List<string> via)
    {
        foreach (var volume in _rig.Volumes.Where(v => v.Kind == CautionVolumeKind.Audience))
        {
            if (volume.Meets(leg.From, leg.Direction, leg.Length, out var at))
            {
                var point = leg.From + (leg.Direction * at);
                return new Anchor(AnchorKind.Audience, volume.Name, point, volume.Pose.InverseTransformPoint(point), via, "the axis enters the volume");
            }
        }

        return null;
    }

    /// <summary>Where this axis and at least two others pass within <see cref="Near"/> of one point in the air.</summary>
    private Anchor? Crossing(FixtureIndex fixture, Leg leg, List<string> via)
    {
        foreach (var (other, b) in _legs.Where(l => l.Fixture != fixture))
        {
            if (!leg.Nearest(b, out var s, out var t) || s < 1 || s > leg.Length - Near || t > b.Length - Near)
            {
                continue;
            }

            var (p, q) = (leg.From + (leg.Direction * s), b.From + (b.Direction * t));
            var middle = (p + q) / 2;
            if (Vector3.Distance(p, q) > Near)
            {
                continue;
            }

            var through = _legs.Count(l => l.Last.Passes(middle, Near));
            if (through >= 3)
            {
                return new Anchor(AnchorKind.Crossing, "", middle, middle, via, $"{through} axes pass within {Near} m of it");
            }
        }

        return null;
    }
}
