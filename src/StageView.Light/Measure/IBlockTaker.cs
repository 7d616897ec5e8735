namespace StageView.Light.Measure;

/// <summary>Is shown the blocks of a pixel surface that light a point.</summary>
internal interface IBlockTaker
{
    /// <summary>Whether a block is of interest: columns c0 to below c1 and rows r0 to below r1.</summary>
    bool Wants(int c0, int c1, int r0, int r1);

    /// <summary>The block last asked for is seen.</summary>
    /// <param name="c0">First column.</param>
    /// <param name="c1">Beyond the last column.</param>
    /// <param name="r0">First row.</param>
    /// <param name="r1">Beyond the last row.</param>
    /// <param name="lux">What 1 cd/m² of it gives, lx.</param>
    void Take(int c0, int c1, int r0, int r1, float lux);
}
