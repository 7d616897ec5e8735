using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>A fixture mode compiled once: what every level means, flat and without allocation at run time.</summary>
internal sealed class ModeProgram
{
    /// <summary>Channels of a mode that are followed where each acts on many others: no fixture has more, a hostile file stays quick.</summary>
    private const int MostChoosers = 256;

    private readonly List<MoverCode> _movers = [];

    /// <summary>Speed attributes that state the time of a move, and their geometries: what they slow moves, even where no speed of its own is known.</summary>
    private readonly (AttributeOp Speed, int Geometry)[] _timed;

    public ModeProgram(FixtureProfile profile, FixtureMode mode)
    {
        (Profile, Mode) = (profile, mode);
        _timed = [.. mode.Channels.SelectMany(c => c.Functions.Select(f => (Op: AttributeNames.Read(f.Attribute, out _), f, c.Geometry)))
            .Where(t => SpeedScope.IsSpeed(t.Op) && SpeedScope.Meaning(t.f) == SpeedMeaning.Seconds).Select(t => (t.Op, t.Geometry)).Take(MostChoosers)];
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
        var speeds = Having(f => SpeedScope.IsSpeed(f.Op)).Take(MostChoosers).ToArray();
        SpeedChannels = [.. Movers.Select(m => speeds
            .Where(c => IsOneBranch(Channels[c].Source.Geometry, m.Node) && Channels[c].Functions.Any(f => SpeedScope.Covers(f.Op, f.Number, m))).ToArray())];
        MarkIdleSpeeds();
        RandomWheels = [.. Having(f => f.Op is AttributeOp.ColourWheelRandom or AttributeOp.GoboWheelRandom)];
        var dimmers = Having(f => f.Op == AttributeOp.Dimmer).ToArray();
        DimmerCurves = [.. Having(f => f.Op == AttributeOp.DimmerCurve).Take(MostChoosers)
            .Select(c => (c, dimmers.Where(d => IsOneBranch(Channels[c].Source.Geometry, Channels[d].Source.Geometry)).ToArray()))];
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

    /// <summary>Of each mover: the channels that may slow it.</summary>
    public int[][] SpeedChannels { get; }

    /// <summary>Channels that may let a wheel choose at random.</summary>
    public int[] RandomWheels { get; }

    /// <summary>Channels that choose a dimmer curve, with the dimmers that follow it.</summary>
    public (int Chooser, int[] Dimmers)[] DimmerCurves { get; }

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

    /// <summary>Whether one of two nodes holds the other.</summary>
    public bool IsOneBranch(int a, int b) => IsAtOrBelow(a, b) || IsAtOrBelow(b, a);

    private IEnumerable<int> Having(Func<FunctionCode, bool> what) => Enumerable.Range(0, Channels.Length).Where(c => Channels[c].Functions.Any(what));

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
        else if (IsValue(op) && (function.RealFade > 0 || _timed.Any(t => SpeedScope.IsOf(t.Speed, op) && IsOneBranch(t.Geometry, channel.Geometry))))
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

    private void MarkIdleSpeeds()
    {
        foreach (var f in Channels.SelectMany(c => c.Functions))
        {
            f.SlowsNothing = SpeedScope.IsSpeed(f.Op);
        }

        for (var m = 0; m < Movers.Length; m++)
        {
            foreach (var f in SpeedChannels[m].SelectMany(c => Channels[c].Functions))
            {
                var meaning = SpeedScope.Meaning(f.Source);
                var known = meaning == SpeedMeaning.Seconds || (Movers[m].TopSpeed > 0 && (meaning != SpeedMeaning.PerSecond || Movers[m].IsAxis));
                f.SlowsNothing &= !(known && SpeedScope.Covers(f.Op, f.Number, Movers[m]));
            }
        }
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
        >= AttributeOp.IrisStrobe and <= AttributeOp.IrisRandomClosing => (MoverKind.IrisBeat, true),
        >= AttributeOp.FrostRamp and <= AttributeOp.FrostPulseClosing => (MoverKind.FrostBeat, true),
        AttributeOp.PrismAngle => (MoverKind.PrismRotor, false),
        AttributeOp.PrismTurn or AttributeOp.PrismSelectTurn => (MoverKind.PrismRotor, true),
        _ => (null, false),
    };

    private static bool IsValue(AttributeOp op) => op is AttributeOp.Dimmer or AttributeOp.Zoom or AttributeOp.Iris or AttributeOp.Frost
        or AttributeOp.Focus or AttributeOp.Cyan or AttributeOp.Magenta or AttributeOp.Yellow or AttributeOp.ToOrange or AttributeOp.ToBlue
        or AttributeOp.Temperature or AttributeOp.Add or AttributeOp.Shutter or (>= AttributeOp.BladeA and <= AttributeOp.BladesTurn);

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
