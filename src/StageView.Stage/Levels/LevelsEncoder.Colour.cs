using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Colour;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;
using StageView.Stage.Programs;

namespace StageView.Stage.Levels;

public sealed partial class LevelsEncoder
{
    private const int MostMixes = 4096;
    private readonly Dictionary<FixtureIndex, List<(int[] Places, int Bytes)>> _pixelPlaces = [];
    private readonly Dictionary<(EmitterCode Code, Vector3 Colour), float[]> _mixes = [];

    /// <summary>
    /// Sets whatever a fixture has for colour so that it comes nearest to the one wanted: emitters, flags, temperature, hue, pixels, or the nearest slot of a
    /// wheel.
    /// </summary>
    public bool TrySetColour(Fixture fixture, ColourWanted wanted, out string why)
    {
        var program = Program(fixture);
        var done = false;
        foreach (var emitter in program.Emitters)
        {
            done |= emitter.Block is not null ? FillPixels(fixture, emitter, wanted) : SetEmitter(fixture, program, emitter, wanted);
        }

        done = done || TrySetMacro(fixture, wanted);
        Redim(fixture);
        why = done ? "" : $"{fixture.Name}: has nothing that makes a colour";
        return done;
    }

    private bool FillPixels(Fixture fixture, EmitterCode emitter, ColourWanted wanted)
    {
        // Temperatures and chromaticities by the components' own colours; #rrggbb as the values that video would send.
        if (wanted.Kelvin > 0)
        {
            var levels = ColourSolver.Additive([.. emitter.Components.Select(Chromaticity.Rec709ToXyz)], wanted.Xyz);
            SetPixels(fixture, emitter, levels);
            return true;
        }

        for (var row = 0; row < emitter.Node.Pixels!.Rows; row++)
        {
            for (var column = 0; column < emitter.Node.Pixels.Columns; column++)
            {
                SetPixel(fixture, emitter.Node.Index, column, row, wanted.Rgb);
            }
        }

        return true;
    }

    /// <summary>Levels of a pixel's components for a colour, as bright as they can be together.</summary>
    /// <param name="rgb">Linear Rec.709; its brightness is left out.</param>
    private float[] Mixed(EmitterCode emitter, Vector3 rgb)
    {
        var most = MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z));
        var colour = most > 0 ? rgb / most : Vector3.One;
        if (!_mixes.TryGetValue((emitter, colour), out var levels))
        {
            if (_mixes.Count >= MostMixes)
            {
                _mixes.Clear();
            }

            _mixes[(emitter, colour)] = levels =
                ColourSolver.Additive([.. emitter.Components.Select(Chromaticity.Rec709ToXyz)], Chromaticity.Rec709ToXyz(colour));
        }

        return levels;
    }

    /// <summary>All components of all pixels, 0 to 1, in the order of the fixture's grids.</summary>
    internal float[] PixelsOf(Fixture fixture) =>
        [.. PixelPlaces(fixture).SelectMany(p => p.Places.Select(at => at < 0 ? 0 : Component(at, p.Bytes)))];

    /// <summary>Sets what <see cref="PixelsOf"/> gave.</summary>
    internal void SetPixels(Fixture fixture, float[] components)
    {
        var i = 0;
        foreach (var (places, bytes) in PixelPlaces(fixture))
        {
            foreach (var at in places)
            {
                if (at >= 0)
                {
                    SetComponent(at, bytes, components[i]);
                }

                i++;
            }
        }
    }

    private List<(int[] Places, int Bytes)> PixelPlaces(Fixture fixture)
    {
        if (!_pixelPlaces.TryGetValue(fixture.Index, out var places))
        {
            _pixelPlaces[fixture.Index] = places = [.. Program(fixture).Emitters.Where(e => e.Block is not null)
                .Select(e => (PixelWiring.Locate(e, fixture, _map), e.Block!.BytesPerComponent))];
        }

        return places;
    }

    private void SetPixels(Fixture fixture, EmitterCode emitter, float[] levels)
    {
        var places = PixelWiring.Locate(emitter, fixture, _map);
        var bytes = emitter.Block!.BytesPerComponent;
        for (var i = 0; i < places.Length; i++)
        {
            if (places[i] >= 0)
            {
                var v = (int)MathF.Round(levels[i % levels.Length] * (bytes == 2 ? 65535 : 255));
                _bytes[places[i]] = (byte)(bytes == 2 ? v >> 8 : v);
                if (bytes == 2)
                {
                    _bytes[places[i] + 1] = (byte)v;
                }
            }
        }
    }

    private bool SetEmitter(Fixture fixture, ModeProgram program, EmitterCode emitter, ColourWanted wanted)
    {
        (ChannelCode Channel, FunctionCode Function)[] Of(params AttributeOp[] ops) =>
            [.. emitter.Channels.Select(c => program.Channels[c])
                .SelectMany(c => c.Functions.Where(f => ops.Contains(f.Op)).Take(1).Select(f => (c, f)))];

        var adds = Of(AttributeOp.Add);
        if (adds.Length > 0)
        {
            var levels = ColourSolver.Additive([.. adds.Take(8).Select(a => a.Function.AddXyz)], wanted.Xyz);
            for (var i = 0; i < levels.Length; i++)
            {
                Put(fixture, adds[i], adds[i].Function.LevelFor(levels[i]));
            }

            return true;
        }

        var temperature = Of(AttributeOp.Temperature, AttributeOp.ToOrange, AttributeOp.ToBlue)
            .Where(t => Math.Max(t.Function.Source.PhysicalFrom, t.Function.Source.PhysicalTo) > 100).ToArray();
        var flags = new[] { Of(AttributeOp.Cyan), Of(AttributeOp.Magenta), Of(AttributeOp.Yellow) };
        if (wanted.Kelvin > 0 && temperature.Length > 0)
        {
            Put(fixture, temperature[0], wanted.Kelvin);
            foreach (var flag in flags.Where(f => f.Length > 0))
            {
                Put(fixture, flag[0], 0);
            }

            return true;
        }

        if (flags.All(f => f.Length > 0))
        {
            var cmy = ColourSolver.Subtractive(emitter.Flags, wanted.Xyz);
            Put(fixture, flags[0][0], flags[0][0].Function.Travel(cmy.X));
            Put(fixture, flags[1][0], flags[1][0].Function.Travel(cmy.Y));
            Put(fixture, flags[2][0], flags[2][0].Function.Travel(cmy.Z));
            return true;
        }

        var mixes = new[] { Of(AttributeOp.MixCyan), Of(AttributeOp.MixMagenta), Of(AttributeOp.MixYellow) };
        if (mixes.All(m => m.Length > 0))
        {
            var rgb = emitter.Space?.Rgb(wanted.Xyz) ?? Chromaticity.XyzToRec709(wanted.Xyz);
            rgb = Vector3.Max(rgb, Vector3.Zero);
            rgb /= MathF.Max(1e-6f, MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z)));
            for (var i = 0; i < mixes.Length; i++)
            {
                Put(fixture, mixes[i][0], 1 - rgb[i]);
            }

            return true;
        }

        var (hue, saturation) = (Of(AttributeOp.Hue), Of(AttributeOp.Saturation));
        if (hue.Length > 0 && saturation.Length > 0)
        {
            var (h, s) = HueOf(wanted.Rgb);
            Put(fixture, hue[0], h);
            Put(fixture, saturation[0], s);
            return true;
        }

        var (x, y) = (Of(AttributeOp.CieX), Of(AttributeOp.CieY));
        if (x.Length > 0 && y.Length > 0)
        {
            Put(fixture, x[0], wanted.X);
            Put(fixture, y[0], wanted.Y);
            return true;
        }

        var wheel = Of(AttributeOp.ColourWheel);
        if (wheel.Length > 0 && wheel[0].Function.Slots.Length > 0)
        {
            var white = Chromaticity.XyzToRec709(emitter.White);
            var (slots, best, least) = (wheel[0].Function.Slots, 0, float.MaxValue);
            for (var i = 0; i < slots.Length; i++)
            {
                var c = Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(slots[i].Colour * white));
                var d = Vector2.Distance(c, new Vector2(wanted.X, wanted.Y));
                (best, least) = d < least ? (i, d) : (best, least);
            }

            return TrySetSlot(fixture, wheel[0].Function.Source.Attribute, (best + 1).ToString(System.Globalization.CultureInfo.InvariantCulture), out _);
        }

        return false;
    }

    /// <summary>Hue in degrees and saturation of linear Rec.709: the inverse of <see cref="Optics.EmitterColour.HueSaturation"/>.</summary>
    private static (float Hue, float Saturation) HueOf(Vector3 rgb)
    {
        var (most, least) = (MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z)), MathF.Min(rgb.X, MathF.Min(rgb.Y, rgb.Z)));
        var span = most - least;
        if (span <= 0)
        {
            return (0, 0);
        }

        var sixth = most == rgb.X ? (rgb.Y - rgb.Z) / span : most == rgb.Y ? 2 + ((rgb.Z - rgb.X) / span) : 4 + ((rgb.X - rgb.Y) / span);
        return (((sixth + 6) % 6) * 60, span / most);
    }

    /// <summary>A channel of colours by name, and its function.</summary>
    private static (DmxChannel Channel, ChannelFunction Function)? MacroOf(Fixture fixture)
    {
        foreach (var channel in fixture.Mode.Channels.Where(c => c.Offsets.Count > 0))
        {
            if (channel.Functions.FirstOrDefault(f => f.Sets.Count > 0 && (f.Attribute.StartsWith("ColorMacro", StringComparison.OrdinalIgnoreCase)
                || AttributeNames.Read(f.Attribute, out _) == AttributeOp.ColourWheel)) is { } found)
            {
                return (channel, found);
            }
        }

        return null;
    }

    /// <summary>The slot whose name is a colour, nearest to the one wanted in CIE 1976 u'v'.</summary>
    private bool TrySetMacro(Fixture fixture, ColourWanted wanted)
    {
        if (MacroOf(fixture) is not { } macro)
        {
            return false;
        }

        ChannelSet? best = null;
        var least = float.MaxValue;
        foreach (var set in macro.Function.Sets)
        {
            if (NamedColours.TryRead(set.Name, out var named)
                && Vector2.Distance(ColourSolver.Uv(named.Xyz), ColourSolver.Uv(wanted.Xyz)) is var d && d < least)
            {
                (best, least) = (set, d);
            }
        }

        if (best is null)
        {
            return false;
        }

        Master(fixture, macro.Function);
        Write(fixture, macro.Channel, best.DmxFrom + ((best.DmxTo - best.DmxFrom) / 2));
        return true;
    }

    private void Put(Fixture fixture, (ChannelCode Channel, FunctionCode Function) at, float physical)
    {
        var f = at.Function.Source;
        var span = f.PhysicalTo - f.PhysicalFrom;
        var share = span == 0 ? 0 : Math.Clamp((physical - f.PhysicalFrom) / span, 0, 1);
        Choose(fixture, at.Channel.Source, f, at.Function.InverseCurve(share));
    }
}
