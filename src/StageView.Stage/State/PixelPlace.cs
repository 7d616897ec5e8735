using System.Numerics;

namespace StageView.Stage.State;

/// <summary>What an address of a pixel block lights.</summary>
/// <param name="Geometry">The grid's geometry.</param>
/// <param name="Column">From the left seen from the front, from 0.</param>
/// <param name="Row">From the top, from 0.</param>
/// <param name="Component">Letter of the block's order.</param>
/// <param name="Byte">0 for the most significant byte of the component.</param>
/// <param name="Luminance">Of the whole pixel at that time, linear Rec.709, cd/m².</param>
public sealed record PixelPlace(string Geometry, int Column, int Row, char Component, int Byte, Vector3 Luminance);
