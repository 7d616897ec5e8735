using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;
using StageView.Stage.Programs;

namespace StageView.Show.Snap;

/// <summary>What a rig, its profiles and its venue say, one fact at a time, so that two rigs can be told apart in words.</summary>
internal static class RigFacts
{
    private const long MostHashed = 64L << 20;

    public static IReadOnlyList<RigFact> Of(RigScene rig) =>
    [
        .. rig.Fixtures.SelectMany(f => OfFixture(f).Concat(Rest(rig, f, "fixture", f.Name, f.Position))),
        .. rig.Fixtures.GroupBy(f => (f.Profile.Name, f.Mode.Name)).SelectMany(g => OfType(rig, [.. g])),
        .. rig.Cameras.SelectMany(c => OfCamera(c).Concat(Rest(rig, c, "camera", c.Name))),
        .. OfHaze(rig.Haze),
        .. rig.Mirrors.SelectMany(m => OfMirror(m).Concat(Rest(rig, m, "mirror", m.Name)).Select(f => f with { Place = WallOf(m.Name) })),
        .. rig.Scenery.GroupBy(s => s.Name).SelectMany(g => OfScenery(g.First()).Concat(g.SelectMany(s => Rest(rig, s, "scenery", s.Name)))),
        .. OfContent(rig),
        .. Rest(rig, rig.Network, "rig", "network"),
        new RigFact { Kind = "rig", Subject = "beams", Property = "mirrors met at most", Value = rig.Bounces },
    ];

    /// <summary>Of the contents alone.</summary>
    public static IEnumerable<RigFact> OfContent(RigScene rig) =>
        rig.Content.SelectMany(c => Rest(rig, c, "content", c.Name).Concat(c.Input is null ? [Picture(c)] : []));

    /// <summary>What else a thing says.</summary>
    private static IEnumerable<RigFact> Rest(RigScene rig, object thing, string kind, string subject, string place = "") =>
        new RigLeaves(rig).Of(thing).Select(l => new RigFact
        {
            Kind = kind, Subject = subject, Property = l.Property, Value = l.Value, Text = l.Text, Place = place.Length > 0 ? place : null,
        });

    /// <summary>What is in a file of content; of a video of any length, its size.</summary>
    private static RigFact Picture(ContentPlacement content)
    {
        var file = new FileInfo(content.FullPath);
        return new RigFact
        {
            Kind = "content", Subject = content.Name, Property = "picture",
            Text = !file.Exists ? "not one file" : file.Length <= MostHashed ? FileStamp.Of(content.FullPath).Sha256[..8] : $"{file.Length} bytes",
        };
    }

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
            yield return Fact("gel", text: FilterWords(f.Filter));
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
        yield return fact(RigFact.Turn, null, "", Axes(Vector3.Transform(Vector3.UnitX, pose.Orientation), Vector3.Transform(Vector3.UnitZ, pose.Orientation)));
    }

    private static IEnumerable<RigFact> OfType(RigScene rig, IReadOnlyList<Fixture> fixtures)
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
            yield return Fact($"channel {channel.Name}", text: $"at {string.Join('+', channel.Offsets)}: " + string.Join("; ", channel.Functions.Select(
                x => string.Create(CultureInfo.InvariantCulture, $"{x.Attribute} {x.DmxFrom}-{x.DmxTo}"))));
            foreach (var x in channel.Functions.Where(x => x.PhysicalFrom != x.PhysicalTo))
            {
                var what = channel.Functions.Count(o => o.Attribute == x.Attribute) > 1 ? $"{channel.Name}, {x.Name}" : f.Mode.Channels.Count(
                    c => c.Functions.Any(o => o.Attribute == x.Attribute)) > 1 ? channel.Name : x.Attribute.ToLowerInvariant();
                yield return Fact(what, text: string.Create(CultureInfo.InvariantCulture, $"{x.PhysicalFrom:0.###} to {x.PhysicalTo:0.###}")
                    + (AttributeNames.UnitOf(AttributeNames.Read(x.Attribute, out _)) == "deg" ? " degrees" : ""));
            }
        }

        foreach (var (property, value, text) in new RigLeaves(rig).Of(f.Mode).Concat(new RigLeaves(rig).Of(f.Profile)))
        {
            yield return Fact(Spoken(property), value, "", text);
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

    /// <summary>A path through a profile as people say it: of "wheels, Gobos, slots, Rays, gobo image" the slot and what of it, with the wheel.</summary>
    private static string Spoken(string path) => path.Split(", ") is ["wheels", var wheel, "slots", var slot, .. var rest]
        ? $"{(rest is ["gobo image"] ? "gobo" : string.Join(", ", rest))} of {slot} on wheel {wheel}" : path;

    private static IEnumerable<RigFact> OfCamera(Camera c)
    {
        RigFact Fact(string property, double? value = null, string unit = "", string? text = null) =>
            new() { Kind = "camera", Subject = c.Name, Property = property, Value = value, Unit = unit, Text = text };
        yield return Fact("height", Round(c.Position.Z), "m");
        yield return Fact("x", Round(c.Position.X), "m");
        yield return Fact("y", Round(c.Position.Y), "m");
        yield return Fact("looks at", text: Say(c.Target));
        yield return Fact("field of view", Math.Round(Angles.Degrees(c.VerticalFieldRadians), 2), "deg");
        yield return Fact("exposure", Math.Round(c.Ev100, 3), "EV");
        yield return Fact("white point", c.WhitePointKelvin, "K");
        yield return Fact("projector's white", c.ProjectorKelvin, "K");
        yield return Fact("shutter", Math.Round(c.ShutterSeconds, 5), "s");
        if (c.SmoothEdges)
        {
            yield return Fact("smooth edges", 1);
        }

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
        yield return Fact("size of the patches", h.PatchMetres, "m");
        yield return Fact("drift to the audience's right", h.DriftX, "m/s");
        yield return Fact("drift upstage", h.DriftY, "m/s");
        yield return Fact("drift upwards", h.DriftZ, "m/s");
        yield return Fact("seed", h.Seed);
        if (h.Fill)
        {
            yield return Fact("fill", 1);
        }
    }

    private static IEnumerable<RigFact> OfMirror(MirrorPiece m)
    {
        var middle = m.Corners.Aggregate(Vector3.Zero, (a, b) => a + b) / m.Corners.Length;
        RigFact Fact(string property, double value) => new()
        {
            Kind = "mirror", Subject = m.Name, Property = property, Value = Math.Round(value, 3), Unit = "m",
        };
        yield return Fact("height", middle.Z);
        yield return Fact("x", middle.X);
        yield return Fact("y", middle.Y);

        yield return Fact("reflects", Math.Round(100f * m.Surface.Reflectance, 2)) with { Unit = "%" };
        yield return Fact("sheet before the metal", Math.Round(1000f * m.Surface.SheetThickness, 3)) with { Unit = "mm" };
        yield return Fact("refractive index of the sheet", m.Surface.SheetIndex) with { Unit = "" };

        // Its own axes, and its outline in them: what is left when it moved or turned is the same.
        var across = Vector3.Normalize(m.Corners[1] - m.Corners[0]);
        var normal = Vector3.Normalize(Vector3.Cross(across, m.Corners[^1] - m.Corners[0]));
        var up = Vector3.Cross(normal, across);
        yield return new RigFact { Kind = "mirror", Subject = m.Name, Property = RigFact.Turn, Text = Axes(across, normal) };
        yield return new RigFact
        {
            Kind = "mirror", Subject = m.Name, Property = "outline",
            Text = string.Join(", ", m.Corners.Select(c => string.Create(
                CultureInfo.InvariantCulture, $"{Vector3.Dot(c - middle, across) + 0f:0.00} {Vector3.Dot(c - middle, up) + 0f:0.00}"))) + " m",
        };
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
        yield return Fact("reflects", text: FilterWords(s.Albedo));
        if (s.Shine > 0)
        {
            yield return Fact("shine", Math.Round(s.Shine, 4));
            yield return Fact("roughness of the shine", Math.Round(s.Roughness, 4));
        }
    }

    /// <summary>The wall that a mirror is a panel of, from the numbers of its column and row; null for one by itself.</summary>
    private static string? WallOf(string mirror) => mirror.LastIndexOf(' ') is var at and > 0 && mirror[(at + 1)..].All(c => char.IsDigit(c) || c == '.')
        ? mirror[..at] : null;

    private static double Round(float v) => Math.Round(v, 3);

    private static string Axes(Vector3 a, Vector3 b) =>
        string.Create(CultureInfo.InvariantCulture, $"{a.X:0.#####} {a.Y:0.#####} {a.Z:0.#####} {b.X:0.#####} {b.Y:0.#####} {b.Z:0.#####}");

    /// <summary>A filter by its colour and how much it lets through; its shares behind it.</summary>
    private static string FilterWords(Vector3 filter)
    {
        var most = Math.Max(1e-6f, Math.Max(filter.X, Math.Max(filter.Y, filter.Z)));
        var even = Math.Min(filter.X, Math.Min(filter.Y, filter.Z)) > 0.97f * most;
        return string.Create(CultureInfo.InvariantCulture,
            $"{(even ? "grey" : ColourWords.Of(filter))}, {100 * most:0.#} % ({filter.X:0.###} {filter.Y:0.###} {filter.Z:0.###})");
    }

    private static string Say(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"[{v.X:0.###}, {v.Y:0.###}, {v.Z:0.###}]");
}
