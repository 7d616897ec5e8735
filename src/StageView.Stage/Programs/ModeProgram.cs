using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>A fixture mode compiled once: what every level means, flat and without allocation at run time.</summary>
internal sealed class ModeProgram
{
    private readonly List<MoverCode> _movers = [];

    public ModeProgram(FixtureProfile profile, FixtureMode mode)
    {
        (Profile, Mode) = (profile, mode);
        AxisMovers = new int[mode.Geometry.Count];
        Array.Fill(AxisMovers, -1);
        Channels = mode.Channels.Select(Compile).ToArray();
        foreach (var group in mode.Relations.GroupBy(r => r.FollowerChannel))
        {
            if (group.Key >= 0 && group.Key < Channels.Length)
            {
                Channels[group.Key].Relations = [.. group];
            }
        }

        VirtualChannels.Mark(Channels);
        Movers = [.. _movers];
        PanMover = Array.FindIndex(Movers, m => m.Kind == MoverKind.Pan);
        TiltMover = Array.FindIndex(Movers, m => m.Kind == MoverKind.Tilt);
        SpeedChannels = Enumerable.Range(0, Channels.Length).Where(c => Channels[c].Functions.Any(f => f.Op == AttributeOp.MoveSpeed)).ToArray();
        var emitters = new List<EmitterCode>();
        foreach (var node in mode.Geometry.Where(n => n.Beam is not null || n.Pixels is not null || n.Laser is not null))
        {
            emitters.Add(EmitterCompiler.Compile(this, node));
        }

        Emitters = [.. emitters];
        Bodies = mode.Geometry.Where(n => n.Body is not null).Select(n => n.Index).ToArray();
        Mirrors = mode.Geometry.Where(n => n.Mirror is not null).Select(n => n.Index).ToArray();
    }

    public FixtureProfile Profile { get; }

    public FixtureMode Mode { get; }

    public ChannelCode[] Channels { get; }

    public MoverCode[] Movers { get; }

    /// <summary>Mover of each node's axis, or -1.</summary>
    public int[] AxisMovers { get; }

    public int PanMover { get; }

    public int TiltMover { get; }

    public int[] SpeedChannels { get; }

    public EmitterCode[] Emitters { get; }

    public int[] Bodies { get; }

    public int[] Mirrors { get; }

    public bool IsAtOrBelow(int node, int ancestor)
    {
        while (node >= 0)
        {
            if (node == ancestor)
            {
                return true;
            }

            node = Mode.Geometry[node].Parent;
        }

        return false;
    }

    private ChannelCode Compile(DmxChannel channel) => new()
    {
        Source = channel,
        Functions = [.. channel.Functions.Select(f => Compile(channel, f))],
    };

    private FunctionCode Compile(DmxChannel channel, ChannelFunction function)
    {
        var op = AttributeNames.Read(function.Attribute, out var number);
        var code = new FunctionCode { Source = function, Op = op, Number = number, Sets = [.. function.Sets] };
        if (function.Wheel >= 0 && function.Wheel < Profile.Wheels.Count)
        {
            code.Slots = [.. Profile.Wheels[function.Wheel].Slots];
        }

        if (function.Filter >= 0 && function.Filter < Profile.Filters.Count)
        {
            code.Filter = Profile.Filters[function.Filter];
        }

        if (op == AttributeOp.Add)
        {
            EmitterCompiler.SetAdd(code, Profile);
        }

        var (kind, speed) = KindOf(op);
        if (kind is { } k)
        {
            code.Mover = k is MoverKind.Pan or MoverKind.Tilt or MoverKind.Travel
                ? AxisMover(k, channel.Geometry)
                : MoverFor(k, number, channel.Geometry, function, code);
            code.IsSpeed = speed;
        }
        else if (function.RealFade > 0 && IsValue(op))
        {
            code.Mover = MoverFor(MoverKind.Value, channel.Index, channel.Geometry, function, code);
        }

        if (code.Mover >= 0)
        {
            var mover = _movers[code.Mover];
            if (!mover.Channels.Contains(channel.Index))
            {
                mover.Channels.Add(channel.Index);
            }

            if (!code.IsSpeed)
            {
                mover.Main ??= code;
            }
        }

        return code;
    }

    private static (MoverKind? Kind, bool Speed) KindOf(AttributeOp op) => op switch
    {
        AttributeOp.Pan => (MoverKind.Pan, false),
        AttributeOp.PanTurn => (MoverKind.Pan, true),
        AttributeOp.Tilt => (MoverKind.Tilt, false),
        AttributeOp.TiltTurn => (MoverKind.Tilt, true),
        AttributeOp.Travel => (MoverKind.Travel, false),
        AttributeOp.ColourWheel or AttributeOp.ColourWheelIndex => (MoverKind.ColourWheel, false),
        AttributeOp.ColourWheelSpin => (MoverKind.ColourWheel, true),
        AttributeOp.GoboWheel or AttributeOp.GoboWheelIndex => (MoverKind.GoboWheel, false),
        AttributeOp.GoboWheelSpin => (MoverKind.GoboWheel, true),
        AttributeOp.GoboAngle => (MoverKind.GoboRotor, false),
        AttributeOp.GoboTurn or AttributeOp.GoboSelectTurn => (MoverKind.GoboRotor, true),
        AttributeOp.GoboShake => (MoverKind.GoboShake, true),
        AttributeOp.AnimationAngle => (MoverKind.AnimationRotor, false),
        AttributeOp.AnimationTurn => (MoverKind.AnimationRotor, true),
        AttributeOp.PrismAngle => (MoverKind.PrismRotor, false),
        AttributeOp.PrismTurn or AttributeOp.PrismSelectTurn => (MoverKind.PrismRotor, true),
        _ => (null, false),
    };

    private static bool IsValue(AttributeOp op) => op is AttributeOp.Dimmer or AttributeOp.Zoom or AttributeOp.Iris or AttributeOp.Frost
        or AttributeOp.Focus or AttributeOp.Cyan or AttributeOp.Magenta or AttributeOp.Yellow or AttributeOp.ToOrange or AttributeOp.ToBlue
        or AttributeOp.Temperature or AttributeOp.Add or AttributeOp.Shutter;

    /// <summary>
    /// The axis that a channel on a geometry moves: its own; where it moves in another way, the nearest above it (a geometry with two ways to move is two
    /// nodes), then one below; where it doesn't move at all, first one below.
    /// </summary>
    private int AxisMover(MoverKind kind, int geometry)
    {
        var motion = kind == MoverKind.Pan ? AxisMotion.TurnZ : kind == MoverKind.Tilt ? AxisMotion.TurnX : AxisMotion.TravelZ;
        var nodes = Mode.Geometry;
        var own = nodes[geometry].Axis?.Motion;
        var below = nodes.FirstOrDefault(n => n.Axis?.Motion == motion && IsAtOrBelow(n.Index, geometry));
        var above = nodes.LastOrDefault(n => n.Axis?.Motion == motion && IsAtOrBelow(geometry, n.Index));
        var node = own == motion ? nodes[geometry] : own is null ? below ?? above : above ?? below;
        if (node is null)
        {
            return -1;
        }

        if (AxisMovers[node.Index] < 0)
        {
            var axis = node.Axis!;
            AxisMovers[node.Index] = _movers.Count;
            _movers.Add(new MoverCode(kind, 1, node.Index, axis.TopSpeed, axis.Acceleration, axis.SettleSeconds));
        }

        return AxisMovers[node.Index];
    }

    /// <summary>A mover of its own kind, number and geometry; its speed comes from the function's real fade: seconds over the whole range.</summary>
    private int MoverFor(MoverKind kind, int number, int geometry, ChannelFunction function, FunctionCode code)
    {
        var index = _movers.FindIndex(m => m.Kind == kind && m.Number == number && m.Node == geometry);
        if (index >= 0 && (_movers[index].TopSpeed > 0 || function.RealFade <= 0))
        {
            return index;
        }

        var wheel = kind is MoverKind.ColourWheel or MoverKind.GoboWheel;
        var range = wheel ? Math.Max(1, code.Slots.Length - 1) : Math.Abs(function.PhysicalTo - function.PhysicalFrom);
        var top = function.RealFade > 0 ? range / function.RealFade : 0;
        var acceleration = function.RealAcceleration > 0 ? top / function.RealAcceleration : 0;
        var mover = new MoverCode(kind, number, geometry, top, acceleration, 0);
        if (index >= 0)
        {
            mover.Channels.AddRange(_movers[index].Channels);
            mover.Main = _movers[index].Main;
            _movers[index] = mover;
            return index;
        }

        _movers.Add(mover);
        return _movers.Count - 1;
    }
}
