using StageView.Ground.Numbers;

namespace StageView.Render.Aids;

/// <summary>Steps of the illuminance overlay in the series 1, 2, 5, 10 …, at most ten, the highest just below the largest value shown.</summary>
internal sealed class LuxScale
{
    public const int MostSteps = 10;

    private static readonly int[] Series = [1, 2, 5];

    private LuxScale(float[] steps) => Steps = steps;

    /// <summary>Lower limits of the bands above the lowest band, rising, lx.</summary>
    public float[] Steps { get; }

    /// <summary>Band of a value: 0 below the first step, <see cref="Steps"/>.Length above the last.</summary>
    public int BandOf(float lux)
    {
        var band = 0;
        while (band < Steps.Length && lux >= Steps[band])
        {
            band++;
        }

        return band;
    }

    /// <summary>
    /// The scale for a picture; its top is set by the value that one pixel in a thousand exceeds, so that a hot spot does not push all else into one band.
    /// </summary>
    public static LuxScale For(LuxImage image)
    {
        var values = Array.FindAll(image.Lux, v => float.IsFinite(v) && v > 0);
        Array.Sort(values);
        var top = values.Length == 0 ? 1 : values[(int)((values.Length - 1) * 0.999)];
        var decade = (int)MathF.Floor(Trig.Log10(top));
        var steps = new List<float>();
        for (var i = (decade * 3) + 2; steps.Count < MostSteps; i--)
        {
            var step = Series[((i % 3) + 3) % 3] * MathF.Pow(10, MathF.Floor(i / 3f));
            if (step <= top)
            {
                steps.Insert(0, step);
            }
        }

        return new LuxScale([.. steps]);
    }
}
