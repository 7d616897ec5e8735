using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;
using StageView.Stage.Programs;

namespace StageView.Stage.Levels;

public sealed partial class LevelsEncoder
{
    private readonly Dictionary<FixtureIndex, VirtualDimmer> _dims = [];

    /// <summary>
    /// Dims a fixture by whatever it has: its dimmer, its brightness, else its colours and pixels are scaled, and stay scaled when their colour is set anew.
    /// Colours that were all dark become white first. What only a shutter or a colour macro darkens can be 0 or 1.
    /// </summary>
    /// <param name="fixture">A fixture of the rig.</param>
    /// <param name="level">0 to 1.</param>
    /// <param name="why">Why not, when it returns false: names the fixture.</param>
    public bool TryDim(Fixture fixture, float level, out string why)
    {
        if (Has(fixture, AttributeOp.Dimmer))
        {
            return TrySet(fixture, "Dimmer", level, out why);
        }

        if (!(level >= 0 && level <= 1))
        {
            why = string.Create(CultureInfo.InvariantCulture, $"{fixture.Name}: a dimmer goes from 0 to 1, not to {level:0.###}");
            return false;
        }

        why = "";
        foreach (var brightness in (string[])["HSB_Brightness", "CIE_Brightness"])
        {
            if (AttributesOf(fixture).Contains(brightness, StringComparer.OrdinalIgnoreCase))
            {
                return TrySet(fixture, brightness, level, out why);
            }
        }

        if (!_dims.TryGetValue(fixture.PatchOwner, out var dim))
        {
            dim = VirtualDimmer.Of(this, fixture);
        }

        if (dim is not null)
        {
            _dims[fixture.PatchOwner] = dim;
            dim.Level = level;
            dim.Apply(this);
            return true;
        }

        if (Has(fixture, AttributeOp.Shutter) && level is 0 or 1)
        {
            return TrySet(fixture, "Shutter1", level, out why);
        }

        if (MacroOf(fixture) is { } macro && level is 0 or 1)
        {
            var dark = macro.Function.Sets.FirstOrDefault(s => NamedColours.IsDark(s.Name));
            if (level > 0 || dark is not null)
            {
                Write(fixture, macro.Channel, level > 0 ? Read(fixture, macro.Channel) : dark!.DmxFrom);
                return true;
            }
        }

        why = $"{fixture.Name}: has nothing that dims"
            + (Has(fixture, AttributeOp.Shutter) || MacroOf(fixture) is not null ? "; it can be dark (0) or not (1)" : "");
        return false;
    }

    /// <summary>The share that a chosen dimmer curve turns into the one wanted.</summary>
    private float Unbent(Fixture fixture, DmxChannel channel, FunctionCode code, float share)
    {
        if (code is not { Op: AttributeOp.Dimmer, FollowsCurve: true })
        {
            return share;
        }

        var program = Program(fixture);
        foreach (var (chooser, dimmers) in program.DimmerCurves)
        {
            var raw = program.Channels[chooser].IsVirtual ? program.Channels[chooser].Source.Default : Read(fixture, program.Channels[chooser].Source);
            var f = program.Channels[chooser].Functions.FirstOrDefault(f => f.Op == AttributeOp.DimmerCurve && f.Contains(raw));
            if (dimmers.Contains(channel.Index) && f is not null && f.Response(f.SetAt(raw)) is { } response)
            {
                share = response.Inverse(share);
            }
        }

        return share;
    }

    private bool Has(Fixture fixture, AttributeOp op) =>
        Program(fixture).Channels.Any(c => c.Source.Offsets.Count > 0 && c.Functions.Any(f => f.Op == op));

    /// <summary>A channel that was set by itself keeps what it was set to beneath a virtual dimmer.</summary>
    private void Redim(Fixture fixture, DmxChannel channel)
    {
        if (_dims.TryGetValue(fixture.PatchOwner, out var dim))
        {
            dim.Rebase(this, channel.Index);
        }
    }

    /// <summary>Colours were set as if nothing dimmed them.</summary>
    private void Redim(Fixture fixture)
    {
        if (_dims.TryGetValue(fixture.PatchOwner, out var dim))
        {
            dim.Rebase(this);
            dim.Apply(this);
        }
    }

    /// <summary>Scales the additive colours and the pixels of a fixture.</summary>
    private sealed class VirtualDimmer
    {
        private readonly Fixture _fixture;
        private readonly List<(ChannelCode Channel, FunctionCode Function)> _mixes;
        private readonly List<(int[] Places, int Bytes)> _pixels;
        private readonly float[] _light;
        private readonly float[][] _pixelLight;

        private VirtualDimmer(Fixture fixture, List<(ChannelCode, FunctionCode)> mixes, List<(int[] Places, int Bytes)> pixels)
        {
            (_fixture, _mixes, _pixels) = (fixture, mixes, pixels);
            _light = new float[mixes.Count];
            _pixelLight = [.. pixels.Select(p => new float[p.Places.Length])];
        }

        /// <summary>0 to 1.</summary>
        public float Level { get; set; } = 1;

        /// <returns>Null for a fixture without colours or pixels of its own.</returns>
        public static VirtualDimmer? Of(LevelsEncoder levels, Fixture fixture)
        {
            var program = levels.Program(fixture);
            var mixes = program.Channels.Where(c => c.Source.Offsets.Count > 0)
                .SelectMany(c => c.Functions.Where(f => f.Op == AttributeOp.Add).Take(1).Select(f => (c, f))).ToList();
            var pixels = levels.PixelPlaces(fixture);
            if (mixes.Count == 0 && pixels.Count == 0)
            {
                return null;
            }

            var dim = new VirtualDimmer(fixture, mixes, pixels);
            dim.Rebase(levels);
            if (dim._light.All(v => v == 0) && dim._pixelLight.All(p => p.All(v => v == 0)))
            {
                levels.TrySetColour(fixture, ColourWanted.Of(Vector3.One), out _);
                dim.Rebase(levels);
            }

            return dim;
        }

        public void Rebase(LevelsEncoder levels)
        {
            for (var i = 0; i < _mixes.Count; i++)
            {
                _light[i] = _mixes[i].Function.Share(levels.Read(_fixture, _mixes[i].Channel.Source));
            }

            for (var p = 0; p < _pixels.Count; p++)
            {
                for (var i = 0; i < _pixels[p].Places.Length; i++)
                {
                    _pixelLight[p][i] = _pixels[p].Places[i] is >= 0 and var at ? levels.Component(at, _pixels[p].Bytes) : 0;
                }
            }
        }

        public void Rebase(LevelsEncoder levels, int channel)
        {
            var i = _mixes.FindIndex(m => m.Channel.Source.Index == channel);
            if (i >= 0)
            {
                _light[i] = _mixes[i].Function.Share(levels.Read(_fixture, _mixes[i].Channel.Source));
                Apply(levels, i);
            }
        }

        public void Apply(LevelsEncoder levels)
        {
            for (var i = 0; i < _mixes.Count; i++)
            {
                Apply(levels, i);
            }

            for (var p = 0; p < _pixels.Count; p++)
            {
                for (var i = 0; i < _pixels[p].Places.Length; i++)
                {
                    if (_pixels[p].Places[i] is >= 0 and var at)
                    {
                        levels.SetComponent(at, _pixels[p].Bytes, _pixelLight[p][i] * Level);
                    }
                }
            }
        }

        private void Apply(LevelsEncoder levels, int i)
        {
            var (channel, function) = _mixes[i];
            levels.Choose(_fixture, channel.Source, function.Source, function.InverseCurve(_light[i] * Level));
        }
    }

    private float Component(int at, int bytes) => bytes == 2 ? ((_bytes[at] << 8) | _bytes[at + 1]) / 65535f : _bytes[at] / 255f;

    private void SetComponent(int at, int bytes, float level)
    {
        if (bytes == 2)
        {
            var v = (int)MathF.Round(Math.Clamp(level, 0, 1) * 65535);
            (_bytes[at], _bytes[at + 1]) = ((byte)(v >> 8), (byte)v);
        }
        else
        {
            _bytes[at] = (byte)MathF.Round(Math.Clamp(level, 0, 1) * 255);
        }
    }
}
