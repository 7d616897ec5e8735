using System.Collections;
using System.Globalization;
using System.Numerics;
using System.Reflection;
using System.Runtime.InteropServices;
using System.Security.Cryptography;
using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Show.Snap;

/// <summary>
/// All that a thing of a rig says and that no fact of <see cref="RigFacts"/> says in better words, property by property: so that nothing that changes light can
/// be left out by forgetting it.
/// </summary>
internal sealed class RigLeaves(RigScene rig)
{
    /// <summary>Properties that are told elsewhere, or can't change light; of each type that is walked.</summary>
    public static IReadOnlyDictionary<Type, string[]> LeftOut { get; } = new Dictionary<Type, string[]>
    {
        [typeof(Fixture)] =
        [
            "Index", "Name", "Number", "Groups", "Position", "Part", "Profile", "Mode", "Pose", "Patch", "PatchOwner", "Filter", "InvertPan", "InvertTilt",
            "SwapPanTilt", "Phase", "Feed", "Uuid", "Layer", "Class", "Focus", "OfVenue", "Member", "Source",
        ],
        [typeof(FixtureProfile)] =
            ["Name", "File", "Modes", "StandsFor", "RefusedModes", "WeightKilograms", "PowerWatts", "Load", "Photometry", "NotUnderstood"],
        [typeof(FixtureMode)] = ["Name", "Footprints"],
        [typeof(GeometryNode)] = ["Index", "Name"],
        [typeof(BeamData)] = ["LuminousFlux", "BeamAngle", "FieldAngle", "ColourTemperature", "Form", "BeamAngleUp"],
        [typeof(AxisData)] = ["TopSpeed", "Acceleration"],
        [typeof(PixelGridData)] = ["Columns", "Rows", "PeakLuminance"],
        [typeof(LaserData)] = ["PowerWatts"],
        [typeof(DmxChannel)] = ["Index", "Name", "Geometry", "Offsets", "Highlight", "MaxValue"],
        [typeof(ChannelFunction)] = ["Name", "Attribute", "DmxFrom", "DmxTo", "PhysicalFrom", "PhysicalTo", "StatedUnit", "IsRangeLeft"],
        [typeof(WheelSlot)] = ["IsOpen"],
        [typeof(Camera)] =
        [
            "Name", "Position", "Target", "VerticalFieldRadians", "Ev100", "WhitePointKelvin", "ProjectorKelvin", "ShutterSeconds", "Bloom", "LensDiameter",
            "FocusDistance", "SmoothEdges",
        ],
        [typeof(MirrorPiece)] = ["Name", "Corners", "Surface"],
        [typeof(SceneryPiece)] =
            ["Name", "Pose", "Scale", "Albedo", "Shine", "Roughness", "Position", "WeightKilograms", "Uuid", "Layer", "Class", "MvrElement"],
        [typeof(ContentPlacement)] = ["Name", "FullPath", "Source"],
        [typeof(NetworkSettings)] = ["Listen", "Nodes", "ConsoleAttributes", "ConsoleUniverses", "Consoles"],
    };

    /// <summary>Each leaf below a thing, with a path in plain words.</summary>
    public IEnumerable<(string Property, double? Value, string? Text)> Of(object thing, string path = "") =>
        thing.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance)
            .Where(p => p.GetIndexParameters().Length == 0 && !(LeftOut.TryGetValue(thing.GetType(), out var left) && left.Contains(p.Name)))
            .SelectMany(p => p.GetValue(thing) is { } value ? Leaf(thing, p.Name, value, Join(path, Words(p.Name))) : []);

    /// <summary>A digest of all that a thing holds.</summary>
    public static string Digest(object thing)
    {
        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        Add(sha, thing);
        return Convert.ToHexStringLower(sha.GetHashAndReset())[..8];
    }

    private IEnumerable<(string, double?, string?)> Leaf(object of, string name, object value, string path)
    {
        switch (value)
        {
            case string or bool or Enum:
                return [(path, null, value.ToString()!.Length > 0 ? value.ToString() : "none")];
            case int index when Resolve(of, name, index) is { } said:
                return [(path, null, said)];
            case IConvertible number:
                return [(path, Math.Round(number.ToDouble(CultureInfo.InvariantCulture), 6), null)];
            case FixtureIndex fixture:
                return fixture.IsNone ? [] : [(path, null, rig[fixture].Name)];
            case CarrierPart carrier:
                return [(path, null, $"{rig[carrier.Fixture].Name}, {rig[carrier.Fixture].Mode.Geometry[carrier.Geometry].Name}")];
            case IReadOnlyList<FixtureIndex> fixtures:
                return [(path, null, string.Join(", ", fixtures.Select(f => rig[f].Name)))];
            case Array or Vector2 or Vector3 or Quaternion or Pose or ValueType:
                return [(path, null, Short(value))];
            case IEnumerable list:
                return list.Cast<object>().SelectMany((e, i) => e is string or ValueType ? [(Join(path, $"{i + 1}"), (double?)null, (string?)Short(e))]
                    : Of(e, Join(path, NameOf(e) ?? $"{i + 1}")));
            default:
                return Of(value, path);
        }
    }

    /// <summary>What a number stands for, where it is a place in one of the rig's or the profile's tables.</summary>
    private string? Resolve(object of, string name, int index) => (of, name) switch
    {
        (WheelSlot, "GoboImage") => index == 0 ? "none" : $"picture {Digest(rig.GoboImages[index - 1])}",
        (WheelSlot or LaserData, "Scan") => index > 0 ? $"figure {Digest(rig.Scans[index - 1])}" : "none",
        (BeamData, "Web") => index < 0 ? "none" : $"photometric file {Digest(rig.Webs[index])}",
        (SceneryPiece or BodyData, "Mesh") => index >= 0 && index < rig.Meshes.Count ? $"shape {Digest(rig.Meshes[index])}" : "none",
        _ => null,
    };

    private static string? NameOf(object thing) => thing is ChannelFunction f ? string.Create(CultureInfo.InvariantCulture, $"{f.Attribute} from {f.DmxFrom}")
        : thing.GetType().GetProperty("Name")?.GetValue(thing) as string is { Length: > 0 } name ? name : null;

    /// <summary>As it is where that is short, else its digest.</summary>
    private static string Short(object value)
    {
        var text = value is IEnumerable list and not string ? string.Join(' ', list.Cast<object>().Take(9).Select(Say)) : Say(value);
        return text.Length <= 60 ? text : Digest(value);
    }

    private static string Say(object value) => value switch
    {
        float f => f.ToString("0.#####", CultureInfo.InvariantCulture),
        IFormattable f => f.ToString(null, CultureInfo.InvariantCulture),
        _ => value.ToString() ?? "",
    };

    private static void Add(IncrementalHash sha, object thing)
    {
        switch (thing)
        {
            case byte[] bytes:
                sha.AppendData(bytes);
                break;
            case float[] floats:
                sha.AppendData(MemoryMarshal.AsBytes(floats.AsSpan()));
                break;
            case int[] ints:
                sha.AppendData(MemoryMarshal.AsBytes(ints.AsSpan()));
                break;
            case Vector3[] vectors:
                sha.AppendData(MemoryMarshal.AsBytes(vectors.AsSpan()));
                break;
            case string or ValueType:
                sha.AppendData(Encoding.UTF8.GetBytes(Say(thing) + "\n"));
                break;
            case IEnumerable list:
                foreach (var e in list)
                {
                    Add(sha, e);
                }

                break;
            default:
                foreach (var p in thing.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(p => p.GetIndexParameters().Length == 0))
                {
                    if (p.GetValue(thing) is { } value)
                    {
                        Add(sha, value);
                    }
                }

                break;
        }
    }

    private static string Join(string path, string word) => path.Length == 0 ? word : $"{path}, {word}";

    /// <summary><c>LensRadius</c> as "lens radius".</summary>
    private static string Words(string name) => string.Concat(name.Select((c, i) => char.IsUpper(c) && i > 0 ? " " + char.ToLowerInvariant(c)
        : char.ToLowerInvariant(c).ToString()));
}
