using System.Numerics;

namespace StageView.Light.Cautions.Flashes;

/// <summary>How much the mean luminance of a block of a surface's pixels adds to one cell, or to one group of cells.</summary>
/// <param name="Target">The cell or group.</param>
/// <param name="FirstColumn">Of the block.</param>
/// <param name="EndColumn">Beyond its last.</param>
/// <param name="FirstRow">Of the block.</param>
/// <param name="EndRow">Beyond its last.</param>
/// <param name="Weight">cd/m² there for 1 cd/m² of the block, by component.</param>
internal readonly record struct PixelWeight(int Target, int FirstColumn, int EndColumn, int FirstRow, int EndRow, Vector3 Weight);
