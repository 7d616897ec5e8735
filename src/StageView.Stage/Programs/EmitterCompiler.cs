using System.Numerics;
using StageView.Light.Colour;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;

namespace StageView.Stage.Programs;

internal static class EmitterCompiler
{
    /// <summary>How many prisms of an emitter count.</summary>
    public const int MostPrisms = 2;

    /// <summary>Prisms make no more beams of one emitter than this.</summary>
    private const int MostBeams = 96;

    public static void SetAdd(FunctionCode code, FixtureProfile profile)
    {
        var name = code.Source.Attribute;
        var colour = name[(name.IndexOf('_', StringComparison.Ordinal) + 1)..];
        code.Line = colour switch { "R" or "Red" => 0, "G" or "Green" => 1, "B" or "Blue" => 2, _ => -1 };
        if (code.Source.Emitter >= 0 && code.Source.Emitter < profile.Emitters.Count)
        {
            var e = profile.Emitters[code.Source.Emitter];
            code.AddXyz = Chromaticity.ToXyz(e.X, e.Y, e.Share);
            code.AddLevels = [.. e.Levels.Select(l => (l.Level, Chromaticity.ToXyz(l.X, l.Y, l.Output * e.Share)))];
            return;
        }

        if (code.Source.ColourSpace >= 0 && name.StartsWith("ColorRGB_", StringComparison.OrdinalIgnoreCase) && code.Line >= 0)
        {
            var space = profile.ColourSpaces[code.Source.ColourSpace];
            code.AddXyz = code.Line == 0 ? space.Red : code.Line == 1 ? space.Green : space.Blue;
            return;
        }

        var (x, y, share) = TypicalEmitters.Of(colour);
        code.AddXyz = Chromaticity.ToXyz(x, y, share);
    }

    public static EmitterCode Compile(ModeProgram program, GeometryNode node)
    {
        var channels = Enumerable.Range(0, program.Channels.Length)
            .Where(c => program.IsAtOrBelow(node.Index, program.Channels[c].Source.Geometry)).ToArray();
        var functions = channels.SelectMany(c => program.Channels[c].Functions).ToArray();
        var adds = channels.Where(c => program.Channels[c].Functions.Any(f => f.Op == AttributeOp.Add)).ToArray();
        var shares = adds.Sum(c => program.Channels[c].Functions.First(f => f.Op == AttributeOp.Add).AddXyz.Y);
        var kelvin = node.Beam?.ColourTemperature ?? 6504;
        var source = node.Beam?.Source;
        var white = source is null ? Planckian.White(kelvin) : Chromaticity.ToXyz(source.Chromaticity.X, source.Chromaticity.Y);
        var mixed = functions.FirstOrDefault(f => f.Op is >= AttributeOp.MixCyan and <= AttributeOp.Saturation && f.Source.ColourSpace >= 0);
        var space = mixed?.Source.ColourSpace ?? -1;
        var toBlue = functions.Any(f => f.Op == AttributeOp.ToBlue);
        var block = program.Mode.PixelBlocks.FirstOrDefault(b => b.Geometry == node.Index);
        var beams = functions.Where(f => f.Op is AttributeOp.Prism or AttributeOp.PrismSelectTurn).GroupBy(f => Math.Min(f.Number, MostPrisms))
            .Aggregate(1, (most, prism) => Math.Min(MostBeams, most * Math.Max(
                prism.SelectMany(f => f.Slots).Select(s => s.PrismFacets).DefaultIfEmpty(0).Max(), prism.Any(f => f.Op == AttributeOp.Prism) ? 3 : 1)));
        return new EmitterCode
        {
            Node = node,
            Adds = [.. functions.Where(f => f.Op == AttributeOp.Add).Take(8)],
            HasFlags = new[] { AttributeOp.Cyan, AttributeOp.Magenta, AttributeOp.Yellow }.All(op => functions.Any(f => f.Op == op)),
            Channels = channels,
            IsAdditive = adds.Length > 0,
            Mixes = functions.Any(f => f.Op is AttributeOp.Add or (>= AttributeOp.Cyan and <= AttributeOp.CieY)),
            AddScale = shares > 1.0001f ? 1 / shares : 1,
            Flags = new FlagColours(kelvin, toBlue ? Math.Max(5600, kelvin + 2000) : 3200, source, Filters(functions)),
            Space = space >= 0 ? program.Profile.ColourSpaces[space] : null,
            Gamut = [.. functions.FirstOrDefault(f => f.Source.Gamut.Count > 0)?.Source.Gamut
                ?? (functions.Any(f => f.Source.ColourSpace >= 0) ? Gamut.OfAllLight : [])],
            White = white,
            WhiteKelvin = kelvin,
            Block = block,
            Components = block is null || node.Pixels is null ? [] : Components(block, program.Profile, node.Pixels.PeakLuminance),
            MaxBeams = beams,
            Lines = node.Laser is null ? [] : Lines(node.Laser),
        };
    }

    /// <summary>Measured transmissions of the cyan, magenta, yellow and temperature flags, null for generic ones.</summary>
    private static float[]?[] Filters(FunctionCode[] functions)
    {
        float[]? Of(params AttributeOp[] ops) => functions.FirstOrDefault(f => ops.Contains(f.Op) && f.Filter is not null)?.Filter!.Bands;
        return [Of(AttributeOp.Cyan), Of(AttributeOp.Magenta), Of(AttributeOp.Yellow), Of(AttributeOp.ToOrange, AttributeOp.ToBlue, AttributeOp.Temperature)];
    }

    /// <summary>Linear Rec.709 luminance of each letter of the order at full; all together make the peak.</summary>
    private static Vector3[] Components(PixelBlock block, FixtureProfile profile, float peak)
    {
        var xyz = block.Order.Select(letter =>
        {
            var name = letter switch { 'R' => "Red", 'G' => "Green", 'B' => "Blue", 'W' => "White", 'A' => "Amber", _ => letter.ToString() };
            var e = profile.Emitters.FirstOrDefault(e => string.Equals(e.Name, name, StringComparison.OrdinalIgnoreCase));
            var (x, y, share) = e is null ? TypicalEmitters.Of(name) : (e.X, e.Y, e.Share);
            return Chromaticity.ToXyz(x, y, share);
        }).ToArray();
        var sum = xyz.Sum(v => v.Y);
        return [.. xyz.Select(v => Chromaticity.XyzToRec709(v) * (sum <= 0 ? 0 : peak / sum))];
    }

    /// <summary>683 lm/W × ȳ(λ) × power for each line (CIE definition of luminous flux).</summary>
    private static (float Lumens, Vector3 Colour)[] Lines(LaserData laser)
    {
        var lines = new (float, Vector3)[laser.Wavelengths.Length];
        for (var i = 0; i < lines.Length; i++)
        {
            var row = CieObserver.At(laser.Wavelengths[i]);
            var watts = laser.PowerWatts * (i < laser.PowerShares.Length ? laser.PowerShares[i] : 0);
            lines[i] = (683 * row.Y * watts, row.Y <= 0 ? Vector3.Zero : Chromaticity.XyzToRec709(row / row.Y));
        }

        return lines;
    }
}
