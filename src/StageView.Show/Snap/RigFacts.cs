using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Snapshot.Frames;

namespace StageView.Show.Snap;

/// <summary>What a rig, its profiles and its venue say, one fact at a time, so that two rigs can be told apart in words.</summary>
internal static class RigFacts
{
    public static IReadOnlyList<RigFact> Of(RigScene rig) =>
    [
        .. rig.Fixtures.SelectMany(OfFixture),
        .. rig.Fixtures.GroupBy(f => (f.Profile.Name, f.Mode.Name)).SelectMany(g => OfType([.. g])),
        .. rig.Cameras.SelectMany(OfCamera),
        .. OfHaze(rig.Haze),
        .. rig.Mirrors.SelectMany(OfMirror),
        .. rig.Scenery.GroupBy(s => s.Name).SelectMany(g => OfScenery(g.First())),
        new RigFact { Kind = "rig", Subject = "beams", Property = "mirrors met at most", Value = rig.Bounces },
    ];

    private static IEnumerable<RigFact> OfFixture(Fixture f)
    {
        RigFact Fact(string property, double? value = null, string unit = "", string? text = null) => new()
        {
            Kind = "fixture", Subject = f.Name, Property = property, Value = value, Unit = unit, Text = text, Place = f.Position.Length > 0 ? f.Position : null,
        };

        yield return Fact("type", text: f.Profile.Name);
        yield return Fact("mode", text: f.Mode.Name);
        yield return Fact("address", text: f.Patch.Count == 0 ? "not patched" : string.Join(", ", f.Patch.Select(p => p.Start.ToString())));
        foreach (var fact in Place(Fact, f.Pose))
        {
            yield return fact;
        }

        if (f.Filter != Vector3.One)
        {
            yield return Fact("filter", text: FormattableString.Invariant($"{f.Filter.X:0.###} {f.Filter.Y:0.###} {f.Filter.Z:0.###}"));
        }

        if (f.InvertPan || f.InvertTilt || f.SwapPanTilt)
        {
            yield return Fact("axes",
                text: $"{(f.InvertPan ? "pan inverted " : "")}{(f.InvertTilt ? "tilt inverted " : "")}{(f.SwapPanTilt ? "swapped" : "")}".Trim());
        }
    }

    private static IEnumerable<RigFact> Place(Func<string, double?, string, string?, RigFact> fact, Pose pose)
    {
        yield return fact("height", Round(pose.Position.Z), "m", null);
        yield return fact("x", Round(pose.Position.X), "m", null);
        yield return fact("y", Round(pose.Position.Y), "m", null);
        var q = pose.Orientation;
        // One of the two quaternions of a turn: the one with a positive first component that isn't zero.
        q = q.W < -1e-5f || (MathF.Abs(q.W) <= 1e-5f && (q.X < -1e-5f || (MathF.Abs(q.X) <= 1e-5f && q.Y < 0))) ? -q : q;
        var axis = new Vector3(q.X, q.Y, q.Z);
        var angle = 2 * MathF.Atan2(axis.Length(), q.W);
        yield return fact("turned by", Math.Round(Angles.Degrees(angle), 2), "deg", null);
        yield return fact("turned about", null, "", axis.Length() < 1e-4f ? "nothing" : Say(Vector3.Normalize(axis)));
    }

    private static IEnumerable<RigFact> OfType(IReadOnlyList<Fixture> fixtures)
    {
        var f = fixtures[0];
        var names = fixtures.Select(x => x.Name).ToArray();
        RigFact Fact(string property, double? value = null, string unit = "", string? text = null) => new()
        {
            Kind = "type", Subject = $"{f.Profile.Name} / {f.Mode.Name}", Property = property, Value = value, Unit = unit, Text = text, Fixtures = names,
        };

        yield return Fact("addresses used", f.Mode.Footprints.Sum());
        foreach (var channel in f.Mode.Channels)
        {
            yield return Fact($"channel {channel.Name}", text: string.Join("; ", channel.Functions.Select(x => string.Create(
                CultureInfo.InvariantCulture, $"{x.Attribute} {x.DmxFrom}-{x.DmxTo} = {x.PhysicalFrom:0.###} to {x.PhysicalTo:0.###}")))
                + $" at {string.Join('+', channel.Offsets)}");
        }

        foreach (var node in f.Mode.Geometry)
        {
            if (node.Beam is { } beam)
            {
                yield return Fact($"flux of {node.Name}", beam.LuminousFlux, "lm");
                yield return Fact($"beam angle of {node.Name}", Math.Round(Angles.Degrees(beam.BeamAngle), 2), "deg");
                if (beam.Form != BeamForm.Round)
                {
                    yield return Fact($"outline of {node.Name}", text: beam.Form.ToString());
                    yield return Fact($"beam angle up of {node.Name}", Math.Round(Angles.Degrees(beam.BeamAngleUp), 2), "deg");
                }

                yield return Fact($"field angle of {node.Name}", Math.Round(Angles.Degrees(beam.FieldAngle), 2), "deg");
                yield return Fact($"white of {node.Name}", beam.ColourTemperature, "K");
            }

            if (node.Axis is { } move)
            {
                yield return Fact($"top speed of {node.Name}", move.TopSpeed, move.Motion == AxisMotion.TravelZ ? "m/s" : "deg/s");
                yield return Fact($"acceleration of {node.Name}", move.Acceleration, move.Motion == AxisMotion.TravelZ ? "m/s2" : "deg/s2");
            }

            if (node.Pixels is { } pixels)
            {
                yield return Fact($"pixels of {node.Name}", text: $"{pixels.Columns} x {pixels.Rows}");
                yield return Fact($"luminance of {node.Name}", pixels.PeakLuminance, "cd/m2");
            }

            if (node.Laser is { } laser)
            {
                yield return Fact($"power of {node.Name}", laser.PowerWatts, "W");
            }
        }
    }

    private static IEnumerable<RigFact> OfCamera(Camera c)
    {
        RigFact Fact(string property, double? value = null, string unit = "", string? text = null) =>
            new() { Kind = "camera", Subject = c.Name, Property = property, Value = value, Unit = unit, Text = text };
        yield return Fact("stands at", text: Say(c.Position));
        yield return Fact("looks at", text: Say(c.Target));
        yield return Fact("field of view", Math.Round(Angles.Degrees(c.VerticalFieldRadians), 2), "deg");
        yield return Fact("exposure", Math.Round(c.Ev100, 3), "EV");
        yield return Fact("white point", c.WhitePointKelvin, "K");
        yield return Fact("shutter", Math.Round(c.ShutterSeconds, 5), "s");
        yield return Fact("bloom", Math.Round(c.Bloom, 4));
        yield return Fact("lens diameter", Math.Round(c.LensDiameter, 6), "m");
        yield return Fact("focus distance", c.LensDiameter > 0 ? Math.Round(c.FocusDistance, 3) : 0, "m");
    }

    private static IEnumerable<RigFact> OfHaze(Haze h)
    {
        RigFact Fact(string property, double value, string unit = "") =>
            new() { Kind = "haze", Subject = "haze", Property = property, Value = Math.Round(value, 5), Unit = unit };
        yield return Fact("extinction", h.ExtinctionPerMetre, "/m");
        yield return Fact("albedo", h.Albedo);
        yield return Fact("forward", h.Anisotropy);
        yield return Fact("unevenness", h.Unevenness);
        yield return Fact("seed", h.Seed);
    }

    private static IEnumerable<RigFact> OfMirror(MirrorPiece m)
    {
        var middle = m.Corners.Aggregate(Vector3.Zero, (a, b) => a + b) / m.Corners.Length;
        RigFact Fact(string property, float value) => new() { Kind = "mirror", Subject = m.Name, Property = property, Value = Round(value), Unit = "m" };
        yield return Fact("height", middle.Z);
        yield return Fact("x", middle.X);
        yield return Fact("y", middle.Y);

        // Its outline about the middle: what is left when it moved without a turn is the same.
        yield return new RigFact { Kind = "mirror", Subject = m.Name, Property = "outline", Text = string.Join(" ", m.Corners.Select(c => Say(c - middle))) };
        yield return new RigFact { Kind = "mirror", Subject = m.Name, Property = "reflectance", Value = Math.Round(m.Surface.Reflectance, 4) };
    }

    private static IEnumerable<RigFact> OfScenery(SceneryPiece s)
    {
        RigFact Fact(string property, double? value = null, string unit = "", string? text = null) =>
            new() { Kind = "scenery", Subject = s.Name, Property = property, Value = value, Unit = unit, Text = text };
        foreach (var fact in Place(Fact, s.Pose))
        {
            yield return fact;
        }

        yield return Fact("size", text: Say(s.Scale));
        yield return Fact("albedo", text: Say(s.Albedo));
    }

    private static double Round(float v) => Math.Round(v, 3);

    private static string Say(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"[{v.X:0.###}, {v.Y:0.###}, {v.Z:0.###}]");
}
