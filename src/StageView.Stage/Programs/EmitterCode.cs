using System.Numerics;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;

namespace StageView.Stage.Programs;

/// <summary>A node that gives light: a beam, a grid of pixels, a laser aperture, or more than one of them.</summary>
internal sealed class EmitterCode
{
    public required GeometryNode Node { get; init; }

    /// <summary>Channels on the node or above it: what acts on a geometry acts on everything below.</summary>
    public required int[] Channels { get; init; }

    /// <summary>Whether any channel mixes colour additively.</summary>
    public required bool IsAdditive { get; init; }

    /// <summary>Whether any channel mixes colour, in whatever way.</summary>
    public required bool Mixes { get; init; }

    /// <summary>Makes the luminance shares of all additive channels sum to 1 where the profile gives none.</summary>
    public required float AddScale { get; init; }

    public required FlagColours Flags { get; init; }

    /// <summary>Open white, XYZ with Y = 1.</summary>
    public required Vector3 White { get; init; }

    /// <summary>What hue and saturation stand for, or null for Rec.709.</summary>
    public required ColourSpace? Space { get; init; }

    /// <summary>Corners (CIE x, y) of what indirect mixing reaches; empty where it isn't known.</summary>
    public required Vector2[] Gamut { get; init; }

    public required float WhiteKelvin { get; init; }

    /// <summary>The additive colours, at most eight.</summary>
    public required FunctionCode[] Adds { get; init; }

    /// <summary>Whether it has flags of cyan, magenta and yellow.</summary>
    public required bool HasFlags { get; init; }

    /// <summary>Colours of macros that were asked for so far, by function and set; see <see cref="MacroColours"/>.</summary>
    public Dictionary<(FunctionCode Function, int Set), Vector3?> Macros { get; } = [];

    /// <summary>Pixel block on this node, or null.</summary>
    public required PixelBlock? Block { get; init; }

    /// <summary>Luminance of each component of <see cref="Block"/> at full, linear Rec.709, cd/m².</summary>
    public required Vector3[] Components { get; init; }

    /// <summary>Most beams it can give: one a prism facet.</summary>
    public required int MaxBeams { get; init; }

    /// <summary>Luminous flux of each laser line at full, lm, and its chromaticity with luminance 1.</summary>
    public required (float Lumens, Vector3 Colour)[] Lines { get; init; }
}
