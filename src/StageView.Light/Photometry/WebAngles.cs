namespace StageView.Light.Photometry;

/// <summary>Where a web falls to a share of its largest intensity (the reference of IES LM-75; CIE S 017 takes the centre's).</summary>
public static class WebAngles
{
    /// <summary>Where one measured value is less than this share of the one before, nothing is known of the curve between: a straight line is taken.</summary>
    private const double Steepest = .1;

    /// <summary>A fall within one step that leaves more than this is gentle.</summary>
    private const double Gentle = .4;

    /// <summary>The widest angle off the axis, of all azimuths, that still has the share, rad. 0 where no direction has it.</summary>
    /// <param name="web">The web.</param>
    /// <param name="share">Of the largest intensity, above 0 to 1: .5 for the beam angle, .1 for the field angle.</param>
    public static float WidestAt(PhotometricWeb web, float share)
    {
        ArgumentNullException.ThrowIfNull(web);
        var widest = 0.0;
        var polar = web.PolarRadians.Length;
        for (var from = 0; from + polar <= web.Relative.Length; from += polar)
        {
            widest = Math.Max(widest, InPlane(web.PolarRadians, web.Relative.AsSpan(from, polar), share));
        }

        return (float)widest;
    }

    private static double InPlane(float[] angles, ReadOnlySpan<float> values, float share)
    {
        var last = values.Length - 1;
        while (last >= 0 && values[last] < share)
        {
            last--;
        }

        if (last < 0 || last == values.Length - 1)
        {
            return last < 0 ? 0 : angles[last];
        }

        if (values[last + 1] < Steepest * values[last])
        {
            return angles[last] + ((angles[last + 1] - angles[last]) * (double)(values[last] - share) / (values[last] - values[last + 1]));
        }

        // Within the step the logarithm is a cubic through the four neighbours: it follows cosⁿ and Gaussian falls, and passes both ends. A neighbour beyond a
        // steep fall says nothing of it; but where a gentle fall ends in one, the intensity itself runs out to nothing, and is the cubic.
        var (low, high) = ((double)angles[last], (double)angles[last + 1]);
        var first = last > 0 && values[last - 1] > Steepest * values[last] ? last - 1 : last;
        var next = Math.Min(values.Length - 1, last + 2);
        var goesOn = values[next] > Steepest * values[last + 1];
        var runsOut = !goesOn && values[last + 1] > Gentle * values[last];
        var end = goesOn || runsOut ? next : last + 1;
        var level = runsOut ? share : Math.Log(share);
        for (var i = 0; i < 40; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = Cubic(angles, values, first, end, middle, !runsOut) >= level ? (middle, high) : (low, middle);
        }

        return low;
    }

    /// <summary>Lagrange's polynomial through the values, or their logarithms, from <paramref name="first"/> to <paramref name="end"/>.</summary>
    private static double Cubic(float[] angles, ReadOnlySpan<float> values, int first, int end, double at, bool logarithm)
    {
        var sum = 0.0;
        for (var i = first; i <= end; i++)
        {
            var term = logarithm ? Math.Log(values[i]) : values[i];
            for (var k = first; k <= end; k++)
            {
                term *= k == i ? 1 : (at - angles[k]) / ((double)angles[i] - angles[k]);
            }

            sum += term;
        }

        return sum;
    }
}
