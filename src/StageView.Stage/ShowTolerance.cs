namespace StageView.Stage;

/// <summary>How much two shows may differ and still be the same.</summary>
/// <param name="Seconds">
/// A state counts as the same when the other show has it within this, s: a packet later, a packet less. 0.05 lets half of the usual 44 packets a second
/// pass, and nothing that stands for a tenth of a second.
/// </param>
/// <param name="Amount">A factor on the smallest differences that are told; at 1 all are below one coarse DMX level.</param>
public sealed record ShowTolerance(double Seconds = 0.05, double Amount = 1)
{
    public static ShowTolerance Usual { get; } = new();

    /// <summary>Component levels of content that runs over pixels: between two of its frames it need not be anything that the other show had.</summary>
    internal int PixelLevels => (int)Math.Ceiling(8 * Amount);

    /// <summary>
    /// Times at which a show is looked at for one time: that first, then about it, so close at the usual 0.05 s that no packet at 44 a second falls between.
    /// </summary>
    public double[] Around(double t)
    {
        double[] parts = Seconds > 0 ? [0, -1, -2.0 / 3, -1.0 / 3, 1.0 / 3, 2.0 / 3, 1] : [0];
        return [.. parts.Select(p => Math.Max(0, t + (p * Seconds)))];
    }

    /// <summary>
    /// How far beyond all that the other show did in that while a value may lie: half of what it moved by. A peak of one packet is lost where every second
    /// packet is; where the other stands still, nothing is given.
    /// </summary>
    internal static double Beyond(double moved) => moved / 2;

    /// <summary>Smallest difference told, in the attribute's unit.</summary>
    internal double Least(string unit) => Amount * unit switch
    {
        "deg" => 0.05,
        "m" => 0.005,
        "K" => 10,
        "Hz" => 0.05,
        "deg/s" => 0.2,
        _ => 0.003,
    };
}
