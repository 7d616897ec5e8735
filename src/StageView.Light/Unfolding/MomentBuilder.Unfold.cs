using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Unfolding;

/// <content>Unfolding: a beam that meets a mirror goes on as another beam from the image point behind it.</content>
public sealed partial class MomentBuilder
{
    /// <summary>A reflected beam is left out when at most this share of its fixture's direct flux could pass its clip.</summary>
    public const float NegligibleShare = 5e-4f;

    /// <summary>How far a laser leg goes when it meets nothing, m.</summary>
    public const float LaserFarLimit = 200;

    /// <summary>No more beams than this are made unless told otherwise, so that a hall of mirrors stays bounded.</summary>
    public const int UsualMostBeams = 100_000;

    /// <summary>Beams at most, reflections among them; a moment that would have more says so in <see cref="Moment.LacksReflections"/>.</summary>
    public int MostBeams { get; set; } = UsualMostBeams;

    private readonly OcclusionScene _laserScene = new();
    private Vector4[] _mirrorSpheres = [];

    partial void Unfold(int bounces)
    {
        if (bounces > 0 && _b.Mirrors.Count > 0)
        {
            UnfoldBeams(bounces);
        }

        if (_b.Lasers.Count > 0)
        {
            UnfoldLasers(bounces);
        }
    }

    private void UnfoldBeams(int bounces)
    {
        var b = _b;
        BoundMirrors();
        Span<Vector3> clip = stackalloc Vector3[ConvexClip.Capacity];
        Span<Vector3> spare = stackalloc Vector3[ConvexClip.Capacity];
        var first = 0;
        for (var level = 0; level < bounces; level++)
        {
            var end = b.Beams.Count;
            for (var i = first; i < end && !b.LacksReflections; i++)
            {
                for (var m = 0; m < b.Mirrors.Count && !b.LacksReflections; m++)
                {
                    Reflect(new BeamIndex(i), new MirrorIndex(m), clip, spare);
                }
            }

            first = end;
        }
    }

    private void BoundMirrors()
    {
        var count = _b.Mirrors.Count;
        if (_mirrorSpheres.Length < count)
        {
            _mirrorSpheres = new Vector4[count * 2];
        }

        for (var m = 0; m < count; m++)
        {
            var outline = OutlineOf(_b.Mirrors.Span[m].Outline);
            var centre = Vector3.Zero;
            foreach (var p in outline)
            {
                centre += p / outline.Length;
            }

            var radius = 0f;
            foreach (var p in outline)
            {
                radius = MathF.Max(radius, Vector3.Distance(p, centre));
            }

            _mirrorSpheres[m] = new Vector4(centre, radius);
        }
    }

    /// <summary>Adds the image of beam <paramref name="beamIndex"/> in mirror <paramref name="mirrorIndex"/> when enough of it passes.</summary>
    private void Reflect(BeamIndex beamIndex, MirrorIndex mirrorIndex, Span<Vector3> clip, Span<Vector3> spare)
    {
        var b = _b;
        ref readonly var beam = ref b.Beams.Span[beamIndex.Value];
        ref readonly var mirror = ref b.Mirrors.Span[mirrorIndex.Value];
        var path = b.MirrorPaths.Span.Slice(beam.FirstPathMirror, beam.Bounces);
        if (beam.Bounces > 0 && path[^1] == mirrorIndex)
        {
            return;
        }

        var outline = OutlineOf(mirror.Outline);
        if (outline.Length < 3)
        {
            return;
        }

        // Behind the face, or so close to its plane that no cone of light could meet it.
        var height = Vector3.Dot(beam.Apex - outline[0], mirror.Normal);
        if (height < 1e-4f || MissesSphere(NearField.Outer(beam), _mirrorSpheres[mirrorIndex.Value]))
        {
            return;
        }

        // Seen from the apex in front, the face's own order runs the other way round: reversed, its edge planes face inwards.
        var count = outline.Length;
        for (var k = 0; k < count; k++)
        {
            clip[k] = outline[count - 1 - k];
        }

        if (beam.Bounces == 0)
        {
            if (!beam.Profile.IsOmnidirectional)
            {
                var d = -Vector3.Dot(beam.Axis, beam.Apex) - beam.StartDistance;
                count = ConvexClip.ByPlane(clip[..count], beam.Axis, d, spare);
                spare[..count].CopyTo(clip);
            }
        }
        else
        {
            var window = OutlineOf(beam.Clip);
            var facing = b.Mirrors.Span[path[^1].Value].Normal;
            count = ConvexClip.ByPlane(clip[..count], facing, -Vector3.Dot(facing, window[0]), spare);
            spare[..count].CopyTo(clip);
            count = ConvexClip.ByPyramid(clip, count, beam.Apex, window, spare);
        }

        count = ConvexClip.Thin(clip, count, Outline.MaxVertices);
        if (count == 0)
        {
            return;
        }

        var off = ConvexClip.AngleTo(beam.Apex, beam.Axis, clip[..count]);
        if (off >= beam.Profile.CutoffRadians)
        {
            return;
        }

        var peak = beam.Profile.Web.IsNone ? beam.Profile.At(off) : 1;
        var share = beam.Throughput * beam.Profile.CandelaPerLumen * peak * (float)ConvexClip.SolidAngle(beam.Apex, clip[..count]);
        if (share <= NegligibleShare)
        {
            return;
        }

        if (b.Beams.Count >= MostBeams)
        {
            b.LacksReflections = true;
            return;
        }

        clip[..count].Reverse();
        b.Beams.Add(ImageOf(beam, beamIndex, mirror, mirrorIndex, outline[0], clip[..count]));
    }

    private Beam ImageOf(in Beam beam, BeamIndex beamIndex, in Mirror mirror, MirrorIndex mirrorIndex, Vector3 onFace, ReadOnlySpan<Vector3> clip)
    {
        // Incidence is the axis's where it meets the lit part, else that of the ray through the lit part's middle.
        var middle = Vector3.Zero;
        foreach (var p in clip)
        {
            middle += p / clip.Length;
        }

        var n = mirror.Normal;
        var meets = UnfoldedPath.Crossing(beam.Apex + (beam.Axis * 1e4f), beam.Apex, onFace, n);
        var through = Vector3.Dot(beam.Axis, n) < 0 && ConvexClip.Inside(clip, n, meets) ? beam.Axis : Vector3.Normalize(middle - beam.Apex);
        var cos = MathF.Abs(Vector3.Dot(through, n));
        var reflectance = (float)MirrorOptics.Shares(mirror, cos).Total;
        var depth = (float)MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, cos);
        var b = _b;
        var first = b.MirrorPaths.Count;
        var before = beam;
        var trail = b.MirrorPaths.Extend(before.Bounces + 1);
        b.MirrorPaths.Span.Slice(before.FirstPathMirror, before.Bounces).CopyTo(trail);
        trail[^1] = mirrorIndex;
        return before with
        {
            Parent = beamIndex,
            Bounces = before.Bounces + 1,
            FirstPathMirror = first,
            Apex = before.Apex - (n * (2 * (Vector3.Dot(before.Apex - onFace, n) + depth))),
            Axis = Vector3.Normalize(Vector3.Reflect(before.Axis, n)),
            Up = Vector3.Normalize(Vector3.Reflect(before.Up, n)),
            Mirrored = !before.Mirrored,
            FluxLumens = before.FluxLumens * reflectance,
            Throughput = before.Throughput * reflectance,
            Clip = AddOutline(clip),
        };
    }

    /// <summary>True when the whole sphere lies outside the beam's cone.</summary>
    private static bool MissesSphere(in Beam beam, Vector4 sphere)
    {
        if (beam.Profile.IsOmnidirectional)
        {
            return false;
        }

        var to = new Vector3(sphere.X, sphere.Y, sphere.Z) - beam.Apex;
        var distance = to.Length();
        if (distance <= sphere.W)
        {
            return false;
        }

        var off = Trig.Acos(Math.Clamp(Vector3.Dot(to, beam.Axis) / distance, -1, 1));
        return off - Trig.Asin(sphere.W / distance) >= beam.Profile.CutoffRadians;
    }

    private void UnfoldLasers(int bounces)
    {
        var b = _b;
        _laserScene.Set(b.Scenery.Span, Meshes, b.Mirrors.Span, b.Outlines.Span);
        for (var i = 0; i < b.Lasers.Count; i++)
        {
            var leg = b.Lasers.Span[i];
            var direction = Vector3.Normalize(leg.Direction);
            var found = _laserScene.Closest(leg.Origin + (direction * 1e-3f), direction, LaserFarLimit, leg.Fixture, out var hit);
            b.Lasers.Span[i] = leg with { Direction = direction, Length = found ? hit.Distance + 1e-3f : LaserFarLimit };
            if (!found || hit.Mirror.IsNone || leg.Bounces >= bounces)
            {
                continue;
            }

            var mirror = b.Mirrors.Span[hit.Mirror.Value];
            var cos = -Vector3.Dot(direction, mirror.Normal);
            if (cos <= 0)
            {
                continue;
            }

            var reflectance = (float)MirrorOptics.Shares(mirror, cos).Total;
            var depth = (float)MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, cos);
            // The main image leaves the front face 2·depth·tan θ further on than where the ray came in.
            var along = direction + (mirror.Normal * cos);
            b.Lasers.Add(leg with
            {
                Bounces = leg.Bounces + 1,
                Parent = i,
                Mirror = hit.Mirror,
                Origin = hit.Point + (along * (2 * depth / cos)),
                Direction = Vector3.Normalize(Vector3.Reflect(direction, mirror.Normal)),
                Length = LaserFarLimit,
                PathBefore = leg.PathBefore + hit.Distance + 1e-3f,
                PowerWatts = leg.PowerWatts * reflectance,
                PeakWatts = leg.PeakWatts * reflectance,
                FluxLumens = leg.FluxLumens * reflectance,
            });
        }
    }

    private ReadOnlySpan<Vector3> OutlineOf(Outline outline) => _b.Outlines.Span.Slice(outline.First, outline.Count);
}
