namespace StageView.Light.Cautions.Flashes;

public enum FlashKind
{
    /// <summary>By luminance.</summary>
    General,

    /// <summary>To or from a saturated red.</summary>
    Red,
}

/// <summary>A time in which there were more flashes within a second, over more of the field, than a rule allows.</summary>
/// <param name="Kind">By luminance or by red.</param>
/// <param name="From">The first of the flashes, s.</param>
/// <param name="To">The last, s.</param>
/// <param name="Flashes">The most within one second; 32 stands for that many or more.</param>
/// <param name="AreaShare">The most that flashed together, share of the part over which areas add up (of ten degrees, or of the picture).</param>
/// <param name="Cell">The cell of <see cref="FieldGrid"/> at the middle of it (0 for a picture).</param>
public sealed record FlashSpell(FlashKind Kind, double From, double To, int Flashes, double AreaShare, int Cell)
{
    public double Seconds => To - From;
}
