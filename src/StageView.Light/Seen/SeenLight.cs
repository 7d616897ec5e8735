using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Seen;

/// <summary>
/// Tells of one look of an eye how much light each fixture sends along it: what haze scatters, lenses, pixels, laser lines, and what the surface at its end
/// throws back. The same light as a picture's, over as many mirrors as a picture shows in mirrors.
/// </summary>
public sealed class SeenLight
{
    private const float Far = 200;

    /// <summary>So many one-sided surfaces are looked through: a wall of a room has two.</summary>
    private const int MostBehind = 20;

    private readonly Moment _moment;
    private readonly OcclusionScene _scene;
    private readonly OcclusionScene _heads;
    private readonly LightMeter _meter;
    private readonly HazeShares _haze;
    private readonly LampFaces _faces;
    private readonly LaserGlow _lasers;
    private readonly int _mirrors;

    /// <param name="moment">What is looked at; it must stay valid.</param>
    /// <param name="scene">Its scenery.</param>
    /// <param name="mirrors">How many mirrors a look goes over.</param>
    public SeenLight(Moment moment, OcclusionScene scene, int mirrors = 1)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(scene);
        (_moment, _scene, _mirrors) = (moment, scene, mirrors);
        _heads = OcclusionScene.OfHousings(moment);
        _meter = new LightMeter(moment, scene);
        _haze = new HazeShares(moment, scene, _meter);
        _faces = new LampFaces(moment, _meter);
        _lasers = new LaserGlow(moment);
    }

    /// <summary>Looks from a point in a direction.</summary>
    /// <param name="eye">m.</param>
    /// <param name="direction">Unit vector.</param>
    /// <param name="wide">The angle that one picture element covers, rad: lenses and laser lines are seen at least as wide.</param>
    public SeenLook Along(Vector3 eye, Vector3 direction, float wide)
    {
        var sums = new ShareSums();
        var (from, left, before, mirror) = (eye, 1f, 0f, MirrorIndex.None);
        for (var bounce = 0; ; bounce++)
        {
            var met = Closest(from, direction, mirror, out var hit);
            var leg = new Leg(from, direction, met ? hit.Distance : Far, before, left, wide);
            var head = FixtureIndex.None;
            if (_heads.Closest(from, direction, leg.Length, FixtureIndex.None, out var housing))
            {
                (head, hit, met) = (_moment[housing.Instance].Fixture, housing, true);
                leg = leg with { Length = housing.Distance };
            }

            var face = _faces.First(leg, out var until);
            if (face is { } lit)
            {
                leg = leg with { Length = until };
                sums.Add(lit.Fixture, lit.Light * (left * _meter.HazeOver(before + until)));
            }

            _haze.Add(leg, sums);
            _lasers.AddLines(leg, _meter, sums);
            if (face is { } last)
            {
                return Look(sums, last.IsLens ? last.Fixture : FixtureIndex.None, leg.At(until));
            }

            if (!met)
            {
                return Look(sums, FixtureIndex.None, null);
            }

            if (head.IsNone && !hit.Mirror.IsNone)
            {
                if (bounce >= _mirrors || !Turn(hit, ref direction, ref left))
                {
                    return Look(sums, FixtureIndex.None, hit.Point);
                }

                before += leg.Length;
                (from, mirror) = (hit.Point, hit.Mirror);
                continue;
            }

            AddSurface(leg, hit, sums);
            return Look(sums, head, hit.Point);
        }
    }

    private static SeenLook Look(ShareSums sums, FixtureIndex head, Vector3? point) => new(sums.Brightest(), head, point);

    /// <summary>What is seen first: what is seen from its other side alone is looked through.</summary>
    private bool Closest(Vector3 from, Vector3 direction, MirrorIndex except, out SceneHit hit)
    {
        var (start, gone) = (from, 0f);
        for (var behind = 0; behind < MostBehind && _scene.Closest(start, direction, Far, FixtureIndex.None, except, out hit); behind++)
        {
            hit = hit with { Distance = hit.Distance + gone };
            if (hit.Instance.IsNone || Vector3.Dot(_moment[hit.Instance].SeenFrom, direction) <= 0)
            {
                return true;
            }

            gone = hit.Distance + .001f;
            start = from + (direction * gone);
        }

        hit = default;
        return false;
    }

    private bool Turn(in SceneHit hit, ref Vector3 direction, ref float left)
    {
        var face = _moment[hit.Mirror];
        var cos = -Vector3.Dot(direction, face.Normal);
        left *= cos > 0 ? (float)MirrorOptics.Shares(face, cos).Total : 0;
        direction = Vector3.Normalize(Vector3.Reflect(direction, face.Normal));
        return left > 0;
    }

    private void AddSurface(in Leg leg, in SceneHit hit, ShareSums sums)
    {
        // Matt: luminance is illuminance times albedo over pi.
        var weight = _moment[hit.Instance].Albedo * (leg.Left / MathF.PI * _meter.HazeOver(leg.Before + leg.Length));
        var beams = _moment.Beams.Span;
        for (var i = 0; i < beams.Length; i++)
        {
            var facing = _meter.Facing(new BeamIndex(i), hit.Point, hit.Normal, out var towards);
            if (facing != Vector3.Zero)
            {
                sums.Add(beams[i].Fixture, facing * weight * MathF.Max(0, Vector3.Dot(towards, hit.Normal)));
            }
        }

        var surfaces = _moment.PixelSurfaces.Span;
        for (var i = 0; i < surfaces.Length; i++)
        {
            sums.Add(surfaces[i].Fixture, _meter.FromSurface(i, hit.Point, hit.Normal) * weight);
        }

        _lasers.AddSpots(leg, hit, weight, _meter, sums);
    }
}

/// <summary>A stretch of a look through the air.</summary>
/// <param name="From">m.</param>
/// <param name="Direction">Unit vector.</param>
/// <param name="Length">m.</param>
/// <param name="Before">What the look has gone before it, m.</param>
/// <param name="Left">Share of its light that mirrors throw on to the eye.</param>
/// <param name="Wide">The angle that one picture element covers, rad.</param>
internal readonly record struct Leg(Vector3 From, Vector3 Direction, float Length, float Before, float Left, float Wide)
{
    public Vector3 At(float metres) => From + (Direction * metres);

    /// <summary>The eye, or its image in the mirrors met.</summary>
    public Vector3 Eye => From - (Direction * Before);
}

/// <summary>Light by fixture.</summary>
internal sealed class ShareSums
{
    private readonly Dictionary<FixtureIndex, Vector3> _sums = [];

    public void Add(FixtureIndex fixture, Vector3 light)
    {
        if (!fixture.IsNone && light != Vector3.Zero)
        {
            _sums[fixture] = _sums.GetValueOrDefault(fixture) + light;
        }
    }

    public SeenShare[] Brightest() =>
    [
        .. _sums.Select(p => new SeenShare(p.Key, BeamPhotometry.Luminance(p.Value))).Where(s => s.Luminance > 0)
            .OrderByDescending(s => s.Luminance).ThenBy(s => s.Fixture),
    ];
}
