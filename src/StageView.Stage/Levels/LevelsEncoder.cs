using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;
using StageView.Wire.Universes;

namespace StageView.Stage.Levels;

/// <summary>From physical values to the levels a console would send: the inverse of what a stage does with them.</summary>
public sealed partial class LevelsEncoder
{
    private readonly UniverseMap _map;
    private readonly Dictionary<FixtureMode, ModeProgram> _programs = new(ReferenceEqualityComparer.Instance);
    private readonly Dictionary<(FixtureIndex Fixture, int Node), (EmitterCode Code, int[] Places)> _pixels = [];
    private readonly byte[] _bytes;

    public LevelsEncoder(RigScene rig)
    {
        Rig = rig;
        _map = new UniverseMap(rig, own: true);
        _bytes = new byte[_map.Count * 512];
        Reset();
    }

    public RigScene Rig { get; }

    /// <summary>Numbers of the universes the rig uses, rising.</summary>
    public IReadOnlyList<int> Universes => _map.Universes;

    /// <summary>The 512 levels of one of <see cref="Universes"/>, by its place in the list.</summary>
    public ReadOnlySpan<byte> LevelsOf(int place) => _bytes.AsSpan(place * 512, 512);

    /// <summary>Every channel to its default, pixels to black.</summary>
    public void Reset()
    {
        Array.Clear(_bytes);
        _dims.Clear();
        foreach (var fixture in Rig.Fixtures)
        {
            foreach (var channel in fixture.Mode.Channels)
            {
                Write(fixture, channel, channel.Default);
            }
        }
    }

    /// <summary>Hands all universes to a sink, at one time; a stage of the same rig hears of fixtures without an address, too.</summary>
    public void SendTo(ILevelsSink sink, TimeSpan at)
    {
        for (var u = Universes.Count; u < _map.Count && sink is IOwnLevels own; u++)
        {
            own.OnOwnLevels(u, at, LevelsOf(u));
        }

        for (var u = 0; u < Universes.Count; u++)
        {
            sink.OnLevels(new UniverseNumber(Universes[u]), at, LevelsOf(u));
        }
    }

    /// <summary>Sets an attribute to a physical value (for pan and tilt: the angle its own axis shall have, whatever is inverted or swapped).</summary>
    /// <param name="fixture">A fixture of the rig.</param>
    /// <param name="attribute">DIN SPEC 15800 name.</param>
    /// <param name="physical">Value in the attribute's unit.</param>
    /// <param name="why">Why not, when it returns false: names the fixture and what it can do.</param>
    /// <param name="geometry">Only on this geometry, or everywhere the fixture has the attribute.</param>
    public bool TrySet(Fixture fixture, string attribute, float physical, out string why, string? geometry = null)
    {
        var wanted = attribute;
        if (fixture.SwapPanTilt && attribute is "Pan" or "Tilt")
        {
            wanted = fixture.SwapPanTilt ? attribute == "Pan" ? "Tilt" : "Pan" : attribute;
        }

        var any = false;
        foreach (var channel in fixture.Mode.Channels)
        {
            if (geometry is not null && fixture.Mode.Geometry[channel.Geometry].Name != geometry)
            {
                continue;
            }

            var function = Best(channel, wanted, wanted == attribute ? physical : float.NaN);
            if (function is null)
            {
                continue;
            }

            any = true;
            var code = Code(fixture, channel, function);
            var range = function;
            if (wanted != attribute)
            {
                range = fixture.Mode.Channels.Select(c => Best(c, attribute, physical)).FirstOrDefault(f => f is not null) ?? function;
            }

            var low = Math.Min(range.PhysicalFrom, range.PhysicalTo);
            var high = Math.Max(range.PhysicalFrom, range.PhysicalTo);
            var slack = .001f * Math.Max(1e-3f, high - low);
            if (float.IsNaN(physical) || physical < low - slack || physical > high + slack)
            {
                why = string.Create(CultureInfo.InvariantCulture,
                    $"{fixture.Name}: {attribute} goes from {low:0.###} to {high:0.###}, not to {physical:0.###}");
                return false;
            }

            var span = range.PhysicalTo - range.PhysicalFrom;
            var share = span == 0 ? 0 : Math.Clamp((physical - range.PhysicalFrom) / span, 0, 1);
            if ((attribute == "Pan" && fixture.InvertPan) || (attribute == "Tilt" && fixture.InvertTilt))
            {
                share = 1 - share;
            }

            Choose(fixture, channel, function, code.InverseCurve(Unbent(fixture, channel, code, share)));
            Redim(fixture, channel);
        }

        why =
            any ? ""
            : $"{fixture.Name}: has no {attribute}; it has {string.Join(", ", AttributesOf(fixture).DefaultIfEmpty("pixels alone: set their colour"))}";
        return any;
    }

    /// <summary>Sets a wheel to a slot, by its name or its number from 1.</summary>
    public bool TrySetSlot(Fixture fixture, string attribute, string slot, out string why)
    {
        foreach (var channel in fixture.Mode.Channels)
        {
            foreach (var f in channel.Functions.Where(f => Same(f.Attribute, attribute)))
            {
                var slots = f.Wheel >= 0 ? fixture.Profile.Wheels[f.Wheel].Slots : [];
                var number = int.TryParse(slot, NumberStyles.None, CultureInfo.InvariantCulture, out var n)
                    ? n
                    : slots.ToList().FindIndex(s => Same(s.Name, slot)) + 1;
                var set = f.Sets.FirstOrDefault(s => s.WheelSlot == number && number > 0) ?? f.Sets.FirstOrDefault(s => Same(s.Name, slot));
                if (set is not null)
                {
                    Master(fixture, f);
                    Write(fixture, channel, set.DmxFrom + ((set.DmxTo - set.DmxFrom) / 2));
                    why = "";
                    return true;
                }

                if (number >= 1 && number <= slots.Count && f.Sets.Count == 0)
                {
                    Choose(fixture, channel, f, Code(fixture, channel, f).InverseCurve((number - .5f) / slots.Count));
                    why = "";
                    return true;
                }
            }
        }

        var known = fixture.Mode.Channels.SelectMany(c => c.Functions).Where(f => Same(f.Attribute, attribute))
            .SelectMany(f => f.Sets.Select(s => s.Name)).Distinct().ToArray();
        why = $"{fixture.Name}: {attribute} has no slot '{slot}'" + (known.Length > 0 ? $"; it has {string.Join(", ", known)}" : "");
        return false;
    }

    /// <summary>Sets one pixel of a pixel block.</summary>
    /// <param name="fixture">A fixture with a pixel block on the node.</param>
    /// <param name="node">Index of the geometry with the grid.</param>
    /// <param name="column">From the left seen from the front.</param>
    /// <param name="row">From the top.</param>
    /// <param name="rgb">
    /// Red, green, blue, 0 to 1, linear. Pixels of those alone take them as they are; with white or amber the colour is mixed as heads mix it, the brightest
    /// that has its chromaticity, times the largest of the three.
    /// </param>
    public void SetPixel(Fixture fixture, int node, int column, int row, Vector3 rgb) => SetPixel(fixture, node, column, row, rgb, null);

    /// <summary>Sets one pixel with what it has already.</summary>
    /// <inheritdoc cref="SetPixel(Fixture, int, int, int, Vector3)" path="/param"/>
    /// <param name="mix">How the two make one, component by component; null replaces.</param>
    public void SetPixel(Fixture fixture, int node, int column, int row, Vector3 rgb, ContentMix? mix)
    {
        if (!_pixels.TryGetValue((fixture.Index, node), out var known))
        {
            var code = Program(fixture).Emitters.First(e => e.Node.Index == node);
            _pixels[(fixture.Index, node)] = known = (code, PixelWiring.Locate(code, fixture, _map));
        }

        if (known.Code.Block is not { } block)
        {
            return;
        }

        var order = block.Order;
        var places = known.Places.AsSpan(((row * known.Code.Node.Pixels!.Columns) + column) * order.Length, order.Length);
        var isLit = false;
        foreach (var place in places)
        {
            isLit |= place >= 0 && Component(place, block.BytesPerComponent) > 0;
        }

        if (mix == ContentMix.LevelsOver && isLit)
        {
            return;
        }

        var mixed = order.AsSpan().ContainsAnyExcept("RGB") ? Mixed(known.Code, rgb) : null;
        for (var k = 0; k < order.Length; k++)
        {
            var at = places[k];
            var level = mixed is not null ? mixed[k] * MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z)) : order[k] switch { 'R' => rgb.X, 'G' => rgb.Y, _ => rgb.Z };
            if (at < 0)
            {
                continue;
            }

            var before = mix is ContentMix.Add or ContentMix.Highest ? Component(at, block.BytesPerComponent) : 0;
            SetComponent(at, block.BytesPerComponent, mix == ContentMix.Add ? before + level : MathF.Max(before, level));
        }
    }

    /// <summary>All levels, universe after universe in the order of the rig's own map.</summary>
    internal Span<byte> Bytes => _bytes;

    /// <summary>Attributes a fixture can be told to do, each once.</summary>
    public static IReadOnlyList<string> AttributesOf(Fixture fixture) =>
        [.. fixture.Mode.Channels.SelectMany(c => c.Functions).Select(f => f.Attribute).Where(a => a is not ("" or "NoFeature")).Distinct()];

    /// <summary>Value of a channel as it stands, in its own resolution.</summary>
    public uint RawOf(Fixture fixture, DmxChannel channel) => Read(fixture, channel);

    /// <summary>Sets a channel to a raw value.</summary>
    public void SetRaw(Fixture fixture, DmxChannel channel, uint raw) => Write(fixture, channel, raw);

    /// <summary>Without its number an attribute is the first of its kind: <c>Focus</c> is <c>Focus1</c>.</summary>
    private static bool Same(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase)
        || (a.Length == b.Length + 1 && a[^1] == '1' && a.StartsWith(b, StringComparison.OrdinalIgnoreCase))
        || (b.Length == a.Length + 1 && b[^1] == '1' && b.StartsWith(a, StringComparison.OrdinalIgnoreCase));

    /// <summary>The channel's function for an attribute: the one whose range holds the value, or the first.</summary>
    private static ChannelFunction? Best(DmxChannel channel, string attribute, float physical)
    {
        ChannelFunction? first = null;
        foreach (var f in channel.Functions)
        {
            if (Same(f.Attribute, attribute))
            {
                first ??= f;
                if (physical >= Math.Min(f.PhysicalFrom, f.PhysicalTo) - 1e-4f && physical <= Math.Max(f.PhysicalFrom, f.PhysicalTo) + 1e-4f)
                {
                    return f;
                }
            }
        }

        return first;
    }

    private ModeProgram Program(Fixture fixture) =>
        _programs.TryGetValue(fixture.Mode, out var p) ? p : _programs[fixture.Mode] = new ModeProgram(fixture.Profile, fixture.Mode);

    private FunctionCode Code(Fixture fixture, DmxChannel channel, ChannelFunction function) =>
        Program(fixture).Channels[channel.Index].Functions.First(f => ReferenceEquals(f.Source, function));

    private void Choose(Fixture fixture, DmxChannel channel, ChannelFunction function, double share)
    {
        Master(fixture, function);
        var span = function.DmxTo - (double)function.DmxFrom;
        Write(fixture, channel, (uint)(function.DmxFrom + Math.Round(share * span)));
    }

    private void Master(Fixture fixture, ChannelFunction function)
    {
        if (function.ModeMaster >= 0 && function.ModeMaster < fixture.Mode.Channels.Count)
        {
            var master = fixture.Mode.Channels[function.ModeMaster];
            var now = Read(fixture, master);
            if (now < function.ModeFrom || now > function.ModeTo)
            {
                Write(fixture, master, function.ModeFrom);
            }
        }
    }

    private uint Read(Fixture fixture, DmxChannel channel)
    {
        uint value = 0;
        foreach (var o in channel.Offsets)
        {
            var at = _map.Locate(fixture, channel.Break, o);
            value = (value << 8) | (at < 0 ? 0u : _bytes[at]);
        }

        return value;
    }

    private void Write(Fixture fixture, DmxChannel channel, uint raw)
    {
        for (var i = 0; i < channel.Offsets.Count && i < 4; i++)
        {
            var at = _map.Locate(fixture, channel.Break, channel.Offsets[i]);
            if (at >= 0)
            {
                _bytes[at] = (byte)(raw >> (8 * (Math.Min(4, channel.Offsets.Count) - 1 - i)));
            }
        }
    }
}
