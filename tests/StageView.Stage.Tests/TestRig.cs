using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.State;
using StageView.Wire.Universes;

namespace StageView.Stage.Tests;

/// <summary>Rigs and profiles built by hand, so that each test states what it relies on.</summary>
internal static class TestRig
{
    public static UniverseNumber Universe(int n) => new(n);

    public static RigScene Scene(params Fixture[] fixtures) => Scene(fixtures, [], []);

    public static RigScene Scene(Fixture[] fixtures, SceneryPiece[] scenery, MirrorPiece[] mirrors, GoboImage[]? gobos = null) => new()
    {
        Name = "test",
        File = "test.rig.jsonc",
        Fixtures = fixtures,
        Scenery = scenery,
        Mirrors = mirrors,
        Cameras = [],
        Haze = Haze.None,
        Areas = [],
        Volumes = [],
        Network = new NetworkSettings(),
        Meshes = [],
        GoboImages = gobos ?? [],
        Webs = [],
    };

    /// <summary>A channel whose functions share it as given; offsets count from 1.</summary>
    public static DmxChannel Channel(int index, int geometry, int[] offsets, params ChannelFunction[] functions) => new()
    {
        Index = index,
        Name = $"g{geometry}_{(functions.Length > 0 ? functions[0].Attribute : "None")}",
        Geometry = geometry,
        Offsets = offsets,
        Functions = functions,
    };

    public static ChannelFunction Function(string attribute, uint from, uint to, float physicalFrom, float physicalTo) => new()
    {
        Name = attribute,
        Attribute = attribute,
        DmxFrom = from,
        DmxTo = to,
        PhysicalFrom = physicalFrom,
        PhysicalTo = physicalTo,
    };

    public static FixtureProfile Profile(GeometryNode[] nodes, DmxChannel[] channels, Wheel[]? wheels = null, Emitter[]? emitters = null,
        PixelBlock[]? blocks = null, ChannelRelation[]? relations = null)
    {
        var footprint = channels.SelectMany(c => c.Offsets).DefaultIfEmpty(0).Max();
        foreach (var b in blocks ?? [])
        {
            var grid = nodes[b.Geometry].Pixels!;
            footprint = Math.Max(footprint, b.FirstOffset - 1 + (grid.Columns * grid.Rows * b.Order.Length * b.BytesPerComponent));
        }

        return new FixtureProfile
        {
            Name = "test",
            File = "test.jsonc",
            Wheels = wheels ?? [],
            Emitters = emitters ?? [],
            Modes =
                [new FixtureMode
                {
                    Name = "only", Geometry = nodes, Channels = channels, Footprints = [footprint], PixelBlocks = blocks ?? [], Relations = relations ?? [],
                }],
        };
    }

    public static Fixture Hang(FixtureProfile profile, int index = 0, int universe = 1, int address = 1, Pose? pose = null) => new()
    {
        Index = new FixtureIndex(index),
        Name = $"fixture {index + 1}",
        Profile = profile,
        Mode = profile.Modes[0],
        Pose = pose ?? Pose.At(0, 0, 6),
        Patch = [new PatchStart(1, new UniverseAddress(new UniverseNumber(universe), address))],
    };

    /// <summary>Base (0), yoke with pan (1), head with tilt (2), lens (3).</summary>
    public static GeometryNode[] HeadNodes(BeamData? beam = null, AxisData? pan = null, AxisData? tilt = null) =>
    [
        new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity },
        new() { Index = 1, Name = "yoke", Parent = 0, Pose = Pose.At(0, 0, -.1f), Axis = pan ?? new AxisData(AxisMotion.TurnZ, 0, 0, 0) },
        new() { Index = 2, Name = "head", Parent = 1, Pose = Pose.At(0, 0, -.25f), Axis = tilt ?? new AxisData(AxisMotion.TurnX, 0, 0, 0) },
        new() { Index = 3, Name = "lens", Parent = 2, Pose = Pose.At(0, 0, -.15f), Beam = beam ?? new BeamData { ColourTemperature = 6504 } },
    ];

    /// <summary>1-2 pan ±270°, 3-4 tilt ±130°, 5-6 dimmer, then what is given (offsets from 7).</summary>
    public static DmxChannel[] HeadChannels(params DmxChannel[] more) =>
    [
        Channel(0, 1, [1, 2], Function("Pan", 0, 65535, -270, 270)) with { Default = 32768 },
        Channel(1, 2, [3, 4], Function("Tilt", 0, 65535, -130, 130)) with { Default = 32768 },
        Channel(2, 3, [5, 6], Function("Dimmer", 0, 65535, 0, 1)),
        .. more,
    ];

    public static Fixture Head(params DmxChannel[] more) => Hang(Profile(HeadNodes(), HeadChannels(more)));

    /// <summary>Universe 1 with these (address, value) pairs.</summary>
    public static byte[] Levels(params (int Address, int Value)[] set)
    {
        var levels = new byte[512];
        foreach (var (a, v) in set)
        {
            levels[a - 1] = (byte)v;
        }

        return levels;
    }

    public static StageModel With(RigScene rig, byte[] levels, int universe = 1)
    {
        var stage = new StageModel(rig);
        stage.OnLevels(Universe(universe), TimeSpan.Zero, levels);
        return stage;
    }

    /// <summary>Fixtures of tests are known by their numbers in the rig.</summary>
    public static FixtureState StateOf(this StageModel stage, int fixture, TimeSpan at, TimeSpan open = default) =>
        stage.StateOf(new FixtureIndex(fixture), at, open);

    public static AttributeState Attribute(this StageModel stage, string attribute, double at = 0, int fixture = 0) =>
        stage.StateOf(fixture, TimeSpan.FromSeconds(at)).Attributes.First(a => a.Attribute == attribute);

    public static Vector3 Direction(this Moment moment) => moment.Beams.Span[0].Axis;
}
