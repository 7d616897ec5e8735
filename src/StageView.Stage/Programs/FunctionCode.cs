using System.Globalization;
using System.Numerics;
using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>A channel function made ready to run.</summary>
internal sealed class FunctionCode
{
    private DimmerResponse?[]? _responses;

    public required ChannelFunction Source { get; init; }

    public required AttributeOp Op { get; init; }

    /// <summary>The n of the attribute.</summary>
    public required int Number { get; init; }

    public required ChannelSet[] Sets { get; init; }

    /// <summary>Mover this function drives, or -1 when its value counts at once.</summary>
    public int Mover { get; set; } = -1;

    /// <summary>Whether the physical value is a speed for the mover instead of a target.</summary>
    public bool IsSpeed { get; set; }

    /// <summary>For additive colour: XYZ at full, with Y as the share of the fixture's flux before <see cref="EmitterCode.AddScale"/>.</summary>
    public Vector3 AddXyz { get; set; }

    /// <summary>For additive colour on lasers: which wavelength.</summary>
    public int Line { get; set; } = -1;

    public WheelSlot[] Slots { get; set; } = [];

    /// <summary>For additive colour that was measured at several levels: level, and XYZ as in <see cref="AddXyz"/>; rising, the first above 0.</summary>
    public (float Level, Vector3 Xyz)[] AddLevels { get; set; } = [];

    /// <summary>The flag that the function puts into the beam, or null for a generic one.</summary>
    public FilterData? Filter { get; set; }

    /// <summary>For a speed: whether nothing moves whose full speed is known.</summary>
    public bool SlowsNothing { get; set; }

    /// <summary>Whether it chooses colours that a mixing fixture makes by its mix: a virtual wheel, or a macro.</summary>
    public bool IsPreset => Op is AttributeOp.ColourWheel or AttributeOp.ColourWheelIndex or AttributeOp.ColourWheelSpin or AttributeOp.ColourMacro
        or AttributeOp.ColourWheelRandom
        || (Op == AttributeOp.NotSimulated && Source.Attribute.StartsWith("Color", StringComparison.OrdinalIgnoreCase));

    /// <summary>Whether a chosen dimmer curve bends it: its profile states no response of its own.</summary>
    public bool FollowsCurve => Source.Curve == ResponseCurve.Linear && Source.Pieces is null;

    public bool Contains(uint raw) => raw >= Source.DmxFrom && raw <= Source.DmxTo;

    /// <summary>Share of the function's range at <paramref name="raw"/>, 0 to 1, after its curve.</summary>
    public float Share(uint raw)
    {
        double span = Source.DmxTo - (double)Source.DmxFrom;
        return Curve(span <= 0 ? 0 : (float)Math.Clamp((raw - (double)Source.DmxFrom) / span, 0, 1));
    }

    /// <summary>Share of the physical range at a share of the DMX range.</summary>
    public float Curve(float x) => Source.Pieces is { } pieces ? pieces.At(x) : Responses.At(Source.Curve, x);

    /// <summary>Inverse of <see cref="Curve"/>.</summary>
    public float InverseCurve(float y) => Source.Pieces is { } pieces ? pieces.Inverse(Math.Clamp(y, 0, 1)) : Responses.Inverse(Source.Curve, y);

    /// <summary>Share of a strobe's period that is open, where the function states it.</summary>
    public float? DutyAt(uint raw) => Source.Duty is { } d ? float.Lerp(d.From, d.To, Share(raw)) : null;

    /// <summary>Length of a flash, s, where the function states it.</summary>
    public float? FlashSecondsAt(uint raw) => Source.FlashSeconds is { } d ? float.Lerp(d.From, d.To, Share(raw)) : null;

    /// <summary>Smallest opening of an iris that beats, 0 to 1; closed where the function states none.</summary>
    public float LeastOpeningAt(uint raw) => Source.LeastOpening is { } d ? float.Lerp(d.From, d.To, Share(raw)) : 0;

    /// <summary>What the value chooses is called: its set's name, else the function's.</summary>
    public string Chosen(int set) => set >= 0 && set < Sets.Length ? Sets[set].Name : Sets.Length == 0 ? Source.Name : "";

    /// <summary>For a dimmer curve: the response that the set's name stands for, or null.</summary>
    public DimmerResponse? Response(int set) =>
        (_responses ??= [.. Enumerable.Range(-1, Sets.Length + 1).Select(i => DimmerResponse.Read(Chosen(i)))])[set + 1];

    /// <summary>Why the function changes nothing at this value; null where it does, or is meant to do nothing.</summary>
    public string? WhyNot(uint raw, int set)
    {
        switch (Op)
        {
            case AttributeOp.NotSimulated:
                return WhyNotSimulated.Of(Source.Attribute);
            case AttributeOp.ColourMacro:
                var known = raw == 0 || ColourNames.IsIdle(Chosen(set)) || ColourNames.IsDark(Chosen(set)) || ColourNames.Find(Chosen(set)) is not null
                    || (set >= 0 && set < Sets.Length && Sets[set].WheelSlot > 0);
                return known ? null : WhyNotSimulated.OfMacro(Chosen(set));
            case AttributeOp.DimmerCurve:
                return Response(set) is not null ? null
                    : $"no curve that is known by \"{Chosen(set)}\"; the dimmer runs as its profile says";
            case >= AttributeOp.MoveSpeed and <= AttributeOp.AllSpeed:
                return SpeedScope.Meaning(Source) == SpeedMeaning.Unknown
                    ? string.Create(CultureInfo.InvariantCulture, $"its range {Source.PhysicalFrom} to {Source.PhysicalTo} has no unit; full speed is taken")
                    : !SlowsNothing ? null
                    : SpeedScope.Meaning(Source) == SpeedMeaning.Seconds ? "nothing here moves that it would slow"
                    : "the full speed of what it slows is not in the file";
            default:
                return null;
        }
    }

    /// <summary>XYZ of additive colour at a level of 0 to 1.</summary>
    public Vector3 AddAt(float level)
    {
        var (at, xyz) = (0f, Vector3.Zero);
        foreach (var next in AddLevels)
        {
            if (level < next.Level)
            {
                return Vector3.Lerp(xyz, next.Xyz, (level - at) / (next.Level - at));
            }

            (at, xyz) = next;
        }

        return AddLevels.Length == 0 ? level * AddXyz : xyz;
    }

    /// <summary>The level that gives a share of the full light.</summary>
    public float LevelFor(float share)
    {
        var (at, light) = (0f, 0f);
        foreach (var next in AddLevels)
        {
            var here = AddXyz.Y > 0 ? next.Xyz.Y / AddXyz.Y : 0;
            if (share <= here)
            {
                return here <= light ? next.Level : float.Lerp(at, next.Level, (share - light) / (here - light));
            }

            (at, light) = (next.Level, here);
        }

        return AddLevels.Length == 0 ? share : at;
    }

    /// <summary>How far the function's flag acts at a share of its travel.</summary>
    public float Insertion(float travel) => Along(travel, p => p.X, p => p.Y);

    /// <summary>The travel at which the function's flag acts so far.</summary>
    public float Travel(float insertion) => Along(insertion, p => p.Y, p => p.X);

    public int SetAt(uint raw)
    {
        for (var i = 0; i < Sets.Length; i++)
        {
            if (raw >= Sets[i].DmxFrom && raw <= Sets[i].DmxTo)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>Physical value: a set's own range where it states one, else the function's.</summary>
    public float Physical(uint raw, int set)
    {
        if (set >= 0 && OwnRange(Sets[set]))
        {
            var s = Sets[set];
            var span = s.DmxTo - (double)s.DmxFrom;
            var x = span <= 0 ? 0 : (float)((raw - (double)s.DmxFrom) / span);
            return s.PhysicalFrom + ((s.PhysicalTo - s.PhysicalFrom) * (Source.Pieces is null ? Curve(x) : x));
        }

        return PhysicalAt(Share(raw));
    }

    public float PhysicalAt(float share) => Source.PhysicalFrom + ((Source.PhysicalTo - Source.PhysicalFrom) * share);

    private float Along(float at, Func<Vector2, float> from, Func<Vector2, float> to)
    {
        if (Filter is not { Insertions.Count: > 0 } filter)
        {
            return at;
        }

        var before = Vector2.Zero;
        foreach (var p in filter.Insertions)
        {
            if (at <= from(p))
            {
                var span = from(p) - from(before);
                return span <= 0 ? to(p) : float.Lerp(to(before), to(p), (at - from(before)) / span);
            }

            before = p;
        }

        return to(before);
    }

    /// <summary>Sets whose range is left at the function's are names only, unless they cover the function.</summary>
    private bool OwnRange(ChannelSet set) => set.PhysicalFrom != Source.PhysicalFrom || set.PhysicalTo != Source.PhysicalTo;
}
