using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using StageView.Stage.Motion;
using StageView.Stage.Programs;

namespace StageView.Stage.State;

/// <summary>One fixture as it is after the levels folded in so far: raw values, what they mean, and where its movers are going.</summary>
internal sealed partial class FixtureRun
{
    /// <summary>Masters that lead masters, one above the other.</summary>
    private const int MostMasters = 8;
    private readonly uint[] _raw;
    private readonly float[] _top;
    private readonly int[] _first;
    private readonly int[] _bytes;

    public FixtureRun(Fixture fixture, ModeProgram program, UniverseMap map)
    {
        (Fixture, Program) = (fixture, program);
        var channels = program.Channels.Length;
        (_raw, Functions, Sets, Physical, Wheel) = (new uint[channels], new int[channels], new int[channels], new float[channels], new float[channels]);
        Travels = new Travel[program.Movers.Length];
        _top = new float[program.Movers.Length];
        Tracks = new IntensityTrack[program.Emitters.Length];
        World = new Pose[program.Mode.Geometry.Count];
        Emitters = new EmitterState[program.Emitters.Length];
        for (var i = 0; i < Emitters.Length; i++)
        {
            Emitters[i] = new EmitterState(program.Emitters[i].MaxBeams);
        }

        _first = new int[channels + 1];
        var bytes = new List<int>();
        for (var c = 0; c < channels; c++)
        {
            _first[c] = bytes.Count;
            var channel = program.Channels[c].Source;
            bytes.AddRange(channel.Offsets.Take(4).Select(o => map.Locate(fixture, channel.Break, o)));
        }

        _first[channels] = bytes.Count;
        _bytes = [.. bytes];
        PixelBytes = program.Emitters.Select(e => e.Block is null ? [] : PixelWiring.Locate(e, fixture, map)).ToArray();
    }

    public Fixture Fixture { get; }

    public ModeProgram Program { get; }

    public ReadOnlySpan<uint> Raw => _raw;

    /// <summary>Active function of each channel, or -1.</summary>
    public int[] Functions { get; }

    public int[] Sets { get; }

    /// <summary>Physical value that each channel asks for.</summary>
    public float[] Physical { get; }

    /// <summary>Wheel position that each channel asks for, 1 for the first slot; 0 where none.</summary>
    public float[] Wheel { get; }

    public Travel[] Travels { get; }

    public IntensityTrack[] Tracks { get; }

    /// <summary>World pose of each node after its own axis, as of <see cref="CachedAt"/>.</summary>
    public Pose[] World { get; }

    public EmitterState[] Emitters { get; }

    /// <summary>Place of each pixel component in the levels, by emitter.</summary>
    public int[][] PixelBytes { get; }

    /// <summary>Values at which axes stand whatever the levels say, by geometry; NaN for those that follow the levels, null where all do.</summary>
    public double[]? Stands { get; set; }

    /// <summary>Raw values at which channels stand whatever the levels say, by channel; null where all follow the levels.</summary>
    public Dictionary<int, uint>? AsIf { get; private set; }

    /// <summary>Time for which <see cref="World"/> and <see cref="Emitters"/> hold; NaN when they must be made anew.</summary>
    public double CachedAt { get; set; } = double.NaN;

    /// <summary>Counts how often <see cref="World"/> was made anew, and which count of the carrier's it was made with.</summary>
    public int Version { get; set; }

    public int CarrierVersion { get; set; } = -1;

    /// <summary>When the last mover comes to rest, s.</summary>
    public double RestAt { get; private set; }

    /// <summary>When the levels last changed something, s.</summary>
    public double ChangedAt { get; private set; }

    public ReadOnlySpan<int> BytesOf(int channel) => _bytes.AsSpan(_first[channel], _first[channel + 1] - _first[channel]);

    /// <summary>Back to before any level came.</summary>
    public void Reset(LevelsNow levels)
    {
        foreach (ref var track in Tracks.AsSpan())
        {
            track.Clear();
        }

        Array.Clear(_raw);
        Refresh(levels, 0, -1, true);
    }

    /// <summary>Lets channels stand at values, or follow the levels again; all is there at once, and was bright so before.</summary>
    public void StandAsIf(Dictionary<int, uint>? values, LevelsNow levels, double at)
    {
        AsIf = values;
        foreach (ref var track in Tracks.AsSpan())
        {
            track.Clear();
        }

        Refresh(levels, at, -1, true);
    }

    /// <summary>A copy of the folded state, to come back to.</summary>
    public RunMemory Save() => new(
        [.. _raw], [.. Functions], [.. Sets], [.. Physical], [.. Wheel], [.. Travels], [.. _top], [.. Tracks], RestAt, ChangedAt);

    public void Load(RunMemory memory)
    {
        memory.Raw.CopyTo(_raw, 0);
        memory.Functions.CopyTo(Functions, 0);
        memory.Sets.CopyTo(Sets, 0);
        memory.Physical.CopyTo(Physical, 0);
        memory.Wheel.CopyTo(Wheel, 0);
        memory.Travels.CopyTo(Travels, 0);
        memory.Top.CopyTo(_top, 0);
        memory.Tracks.CopyTo(Tracks, 0);
        (RestAt, ChangedAt, CachedAt) = (memory.RestAt, memory.ChangedAt, double.NaN);
    }

    /// <summary>Takes over the levels as they are now.</summary>
    /// <param name="levels">All universes.</param>
    /// <param name="at">When they changed, s.</param>
    /// <param name="heardFrom">First place in the levels of a universe heard for the first time: what it drives is taken as already there. -1 for none.</param>
    /// <param name="force">Evaluate even when no value changed.</param>
    public void Refresh(LevelsNow levels, double at, int heardFrom, bool force)
    {
        var changed = force;
        for (var c = 0; c < _raw.Length; c++)
        {
            var raw = Read(levels, c);
            changed |= raw != _raw[c];
            _raw[c] = raw;
        }

        if (!changed)
        {
            return;
        }

        CachedAt = double.NaN;
        ChangedAt = at;
        for (var c = 0; c < _raw.Length; c++)
        {
            Evaluate(c);
        }

        for (var c = 0; c < _raw.Length; c++)
        {
            Relate(c);
        }

        Bend();
        RestAt = at;
        for (var m = 0; m < Travels.Length; m++)
        {
            Drive(m, at, heardFrom, force);
            RestAt = Math.Max(RestAt, Travels[m].ArrivalSeconds);
        }

        if (ChoosesAtRandom())
        {
            RestAt = double.PositiveInfinity;
        }

        for (var e = 0; e < Tracks.Length; e++)
        {
            Illuminate(e, at);
        }
    }

    /// <summary>Value of a channel at a time, its travel included.</summary>
    public float ValueAt(int channel, double t)
    {
        var f = Program.Channels[channel].Functions[Functions[channel]];
        return f.Mover >= 0 && !f.IsSpeed && Program.Movers[f.Mover].Kind == MoverKind.Value
            ? (float)Travels[f.Mover].PositionAt(t)
            : Physical[channel];
    }

    public FunctionCode? FunctionOf(int channel) =>
        Functions[channel] < 0 ? null : Program.Channels[channel].Functions[Functions[channel]];

    private uint Read(LevelsNow levels, int channel)
    {
        if (AsIf is { } asIf && asIf.TryGetValue(channel, out var stands))
        {
            return stands;
        }

        var bytes = BytesOf(channel);
        uint value = 0;
        foreach (var b in bytes)
        {
            if (b < 0 || !levels.IsHeard(b))
            {
                return Program.Channels[channel].Source.Default;
            }

            value = (value << 8) | levels.Bytes[b];
        }

        return bytes.Length == 0 ? Program.Channels[channel].Source.Default : value;
    }

    private void Evaluate(int c)
    {
        var channel = Program.Channels[c];
        var raw = _raw[c];
        var index = channel.FunctionAt(raw, _raw);
        Functions[c] = index;
        Sets[c] = -1;
        Wheel[c] = 0;
        if (index < 0)
        {
            Physical[c] = 0;
            return;
        }

        var f = channel.Functions[index];
        var set = f.SetAt(raw);
        Sets[c] = set;
        Physical[c] = channel.StandsOpen && VirtualChannels.OpenValue(f.Op) is { } open ? open
            : channel.MixStandsOpen && VirtualChannels.OpenMix(f.Op) is { } white ? white : f.Physical(raw, set);
        if (f.Slots.Length > 0)
        {
            Wheel[c] = WheelPosition(f, raw, set, Physical[c]);
        }
    }

    private static float WheelPosition(FunctionCode f, uint raw, int set, float physical)
    {
        if (f.Op is AttributeOp.ColourWheelIndex or AttributeOp.GoboWheelIndex)
        {
            return 1 + (physical / 360 * f.Slots.Length);
        }

        if (set >= 0 && f.Sets[set].WheelSlot > 0)
        {
            return Math.Min(f.Sets[set].WheelSlot, f.Slots.Length);
        }

        // A set without a slot shows none: the wheel stands on its open slot, or nowhere.
        return f.Sets.Length == 0 && f.Op is AttributeOp.ColourWheel or AttributeOp.GoboWheel or AttributeOp.AnimationWheel or AttributeOp.Prism
            ? 1 + Math.Min(f.Slots.Length - 1, (int)(f.Share(raw) * f.Slots.Length))
            : 1 + Array.FindIndex(f.Slots, s => s.IsOpen);
    }

    private void Relate(int c)
    {
        foreach (var r in Program.Channels[c].Relations)
        {
            if (r.FollowerFunction != Functions[c] || r.MasterChannel < 0 || r.MasterChannel >= _raw.Length || !Program.Channels[r.MasterChannel].IsMoved)
            {
                continue;
            }

            if (r.Kind == RelationKind.Override && FunctionOf(r.MasterChannel) is { IsPreset: true })
            {
                // A wheel or macro of colours takes over from the mix by itself, where it stands on a colour.
                continue;
            }

            var f = Program.Channels[c].Functions[Functions[c]];
            var share = ShareOf(r.MasterChannel, 0);
            Physical[c] = r.Kind == RelationKind.Multiply ? Physical[c] * share : f.PhysicalAt(f.Curve(share));
        }
    }

    /// <summary>What a master hands on, 0 to 1: its level; without an address, what its own masters make of it.</summary>
    private float ShareOf(int master, int depth)
    {
        var channel = Program.Channels[master];
        var f = FunctionOf(master);
        var open = channel.StandsOpen && f is not null && VirtualChannels.OpenValue(f.Op) is not null;
        var share = open ? 1 : (float)(_raw[master] / (double)channel.Source.MaxValue);
        if (!channel.IsVirtual || depth >= MostMasters)
        {
            return share;
        }

        foreach (var r in channel.Relations)
        {
            if (r.FollowerFunction == Functions[master] && r.MasterChannel >= 0 && r.MasterChannel < _raw.Length && Program.Channels[r.MasterChannel].IsMoved)
            {
                share = ShareOf(r.MasterChannel, depth + 1) * (r.Kind == RelationKind.Multiply ? share : 1);
            }
        }

        return share;
    }

    /// <summary>Dimmers multiplied from the root down to the emitter, at the value they head for.</summary>
    private void Illuminate(int e, double at)
    {
        var segment = new IntensitySegment { Start = at, Dimmer = 1, Open = 1, Duty = .5f, Seed = (uint)((Fixture.Index.Value * 31) + e) };
        float duration = 0, frequency = -1, duty = .5f;
        var opened = false;
        foreach (var c in Program.Emitters[e].Channels)
        {
            if (FunctionOf(c) is not { } f)
            {
                continue;
            }

            var v = Physical[c];
            switch (f.Op)
            {
                case AttributeOp.Dimmer or AttributeOp.Brightness:
                    segment.Dimmer *= Math.Max(0, v);
                    break;
                case AttributeOp.Shutter:
                    segment.Open *= Math.Clamp(v, 0, 1);
                    break;
                case >= AttributeOp.Strobe and <= AttributeOp.StrobeRandomClosing when v > 0:
                    segment.Kind = StrobeKind.Square + (f.Op - AttributeOp.Strobe);
                    segment.Hertz = v;
                    (duty, duration) = (f.DutyAt(_raw[c]) ?? duty, f.FlashSecondsAt(_raw[c]) ?? duration);
                    break;
                case AttributeOp.StrobeFrequency:
                    frequency = v;
                    (duty, duration) = (f.DutyAt(_raw[c]) ?? duty, f.FlashSecondsAt(_raw[c]) ?? duration);
                    break;
                case >= AttributeOp.ModeStrobe and <= AttributeOp.ModeRandomClosing:
                    segment.Kind = StrobeKind.Square + (f.Op - AttributeOp.ModeStrobe);
                    break;
                case AttributeOp.ModeOpen:
                    frequency = 0;
                    opened = true;
                    break;
                case AttributeOp.StrobeDuration:
                    duration = v;
                    break;
                default:
                    break;
            }
        }

        if (opened)
        {
            segment.Kind = StrobeKind.Steady;
        }
        else if (frequency > 0)
        {
            segment.Hertz = frequency;
            segment.Kind = segment.Kind == StrobeKind.Steady ? StrobeKind.Square : segment.Kind;
        }

        segment.Duty = Math.Clamp(duty, .001f, 1);
        if (duration > 0 && segment.Hertz > 0)
        {
            segment.Duty = Math.Clamp(duration * segment.Hertz, .001f, 1);
        }

        if (segment.Hertz <= 0)
        {
            segment.Kind = StrobeKind.Steady;
        }

        ref var track = ref Tracks[e];
        var last = track.Latest;
        if (track.HasAny && last.IsSameAs(segment))
        {
            return;
        }

        segment.Phase = track.HasAny && last.Kind == segment.Kind && segment.Kind != StrobeKind.Steady ? last.PhaseAt(at) : 0;
        track.Push(segment);
    }
}
