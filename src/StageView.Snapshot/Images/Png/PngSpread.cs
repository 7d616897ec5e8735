using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace StageView.Snapshot;

/// <summary>Spreads the samples of a row to RGBA (clause 6.1; transparency by colour, clause 11.3.1.1).</summary>
internal sealed class PngSpread
{
    private readonly PngPlan _plan;
    private readonly uint[] _palette;
    private readonly uint _keyed = uint.MaxValue;

    public PngSpread(PngPlan plan)
    {
        _plan = plan;
        _palette = plan.Colour == PngFormat.PaletteColour ? MakePalette(plan) : [];
        if (plan.Colour == PngFormat.TrueColour && plan.Transparency.Length >= 6)
        {
            _keyed = plan.Transparency[1] | ((uint)plan.Transparency[3] << 8) | ((uint)plan.Transparency[5] << 16);
        }
        else if (plan.Colour == PngFormat.GreyColour && plan.Transparency.Length >= 2)
        {
            _keyed = plan.Transparency[1];
        }
    }

    public void Row(ReadOnlySpan<byte> row, Span<byte> rgba)
    {
        var pixels = MemoryMarshal.Cast<byte, uint>(rgba);
        switch (_plan.Colour)
        {
            case PngFormat.TrueColourAlpha:
                row.CopyTo(rgba);
                break;
            case PngFormat.TrueColour:
                TrueColour(row, pixels);
                break;
            case PngFormat.GreyColour:
                for (var x = 0; x < pixels.Length; x++)
                {
                    pixels[x] = (row[x] * 0x01_01_01u) | (row[x] == _keyed ? 0 : 0xFF00_0000u);
                }

                break;
            case PngFormat.GreyAlpha:
                for (var x = 0; x < pixels.Length; x++)
                {
                    pixels[x] = (row[2 * x] * 0x01_01_01u) | ((uint)row[(2 * x) + 1] << 24);
                }

                break;
            default:
                Indexed(row, pixels);
                break;
        }
    }

    private void TrueColour(ReadOnlySpan<byte> row, Span<uint> pixels)
    {
        var x = 0;
        if (_keyed == uint.MaxValue)
        {
            ref var from = ref MemoryMarshal.GetReference(row);
            var order = Vector128.Create((byte)0, 1, 2, 255, 3, 4, 5, 255, 6, 7, 8, 255, 9, 10, 11, 255);
            var opaque = Vector128.Create(0xFF00_0000u);
            for (; x + 6 <= pixels.Length; x += 4)
            {
                var four = Vector128.Shuffle(Vector128.LoadUnsafe(ref from, (nuint)(3 * x)), order).AsUInt32() | opaque;
                four.StoreUnsafe(ref MemoryMarshal.GetReference(pixels), (nuint)x);
            }
        }

        for (; x < pixels.Length; x++)
        {
            var rgb = row[3 * x] | ((uint)row[(3 * x) + 1] << 8) | ((uint)row[(3 * x) + 2] << 16);
            pixels[x] = rgb | (rgb == _keyed ? 0 : 0xFF00_0000u);
        }
    }

    private void Indexed(ReadOnlySpan<byte> row, Span<uint> pixels)
    {
        var depth = _plan.Depth;
        var mask = (1 << depth) - 1;
        for (var x = 0; x < pixels.Length; x++)
        {
            var bit = x * depth;
            var index = (row[bit >> 3] >> (8 - depth - (bit & 7))) & mask;
            // An index past the palette is an error of the file (clause 11.2.3); it reads as black.
            pixels[x] = index < _palette.Length ? _palette[index] : 0xFF00_0000u;
        }
    }

    private static uint[] MakePalette(PngPlan plan)
    {
        var palette = new uint[plan.Palette.Length / 3];
        for (var i = 0; i < palette.Length; i++)
        {
            var alpha = i < plan.Transparency.Length ? plan.Transparency[i] : 255u;
            palette[i] = plan.Palette[3 * i] | ((uint)plan.Palette[(3 * i) + 1] << 8) | ((uint)plan.Palette[(3 * i) + 2] << 16) | (alpha << 24);
        }

        return palette;
    }
}
