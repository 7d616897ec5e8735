using StageView.Ground.Indices;

namespace StageView.Light.Photometry;

/// <summary>Makes webs and the profiles that refer to them.</summary>
public static class WebBuilder
{
    /// <summary>A web from candelas on polar and azimuth angles (degrees); false when everything is dark.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="polarDegrees">Rising, 0 to 180; padded with darkness down to 0 when it starts later.</param>
    /// <param name="azimuthDegrees">Rising from 0, below 360.</param>
    /// <param name="candela">By azimuth, then polar angle.</param>
    /// <param name="web">The web.</param>
    public static bool TryBuild(string name, IReadOnlyList<double> polarDegrees, IReadOnlyList<double> azimuthDegrees, double[][] candela,
        out PhotometricWeb? web)
    {
        ArgumentNullException.ThrowIfNull(candela);
        web = null;
        var peak = candela.SelectMany(plane => plane).DefaultIfEmpty(0).Max();
        if (peak <= 0 || peak > float.MaxValue)
        {
            return false;
        }

        var polar = polarDegrees.ToList();
        var pad = polar[0] > 1e-6;
        if (pad)
        {
            polar.InsertRange(0, [0, polar[0] * 0.9999]);
        }

        var relative = new float[polar.Count * azimuthDegrees.Count];
        for (var j = 0; j < azimuthDegrees.Count; j++)
        {
            for (var i = 0; i < polarDegrees.Count; i++)
            {
                relative[(j * polar.Count) + i + (pad ? 2 : 0)] = (float)(candela[j][i] / peak);
            }
        }

        web = new PhotometricWeb
        {
            Name = name,
            PolarRadians = [.. polar.Select(d => (float)(d * Math.PI / 180))],
            AzimuthRadians = [.. azimuthDegrees.Select(d => (float)(d * Math.PI / 180))],
            Relative = relative,
            PeakCandela = (float)peak,
            Lumens = 0,
        };
        web = web with { Lumens = (float)WebIntegration.Lumens(web, 0, Math.PI) };
        return web.Lumens > 0;
    }

    /// <summary>
    /// The profile that reads a web. Beam and field angles are where the mean over azimuth last falls below 50 % and 10 % of the
    /// centre intensity (CIE reference; of the largest mean where the centre is darker than half of it, IES reference).
    /// </summary>
    /// <param name="web">The web.</param>
    /// <param name="index">Its place among the webs that come with the moment.</param>
    public static AngularProfile Profile(PhotometricWeb web, WebIndex index)
    {
        ArgumentNullException.ThrowIfNull(web);
        var p = web.PolarRadians;
        var mean = Enumerable.Range(0, p.Length).Select(i => WebIntegration.MeanOverAzimuth(web, i)).ToArray();
        var reference = mean[0] >= mean.Max() / 2 ? mean[0] : mean.Max();
        var last = 0;
        for (var i = 0; i < p.Length; i++)
        {
            for (var j = 0; j < web.AzimuthRadians.Length; j++)
            {
                if (web.Relative[(j * p.Length) + i] > 0)
                {
                    last = i;
                }
            }
        }

        var cutoff = p[Math.Min(last + 1, p.Length - 1)];
        // A cone of light must stay on one side of the lens plane; what shines sideways or back makes it all-round.
        if (cutoff > 89 * Math.PI / 180)
        {
            cutoff = MathF.PI;
        }

        return AngularProfile.FromWeb(index, cutoff, web.PeakCandela / web.Lumens, Fall(p, mean, 0.5 * reference), Fall(p, mean, 0.1 * reference));
    }

    /// <summary>An angle in degrees brought to 0 to below 360, to a ten-thousandth so that mirror images of one plane meet.</summary>
    internal static double Turn(double degrees)
    {
        var turned = Math.Round(degrees - (Math.Floor(degrees / 360) * 360), 4);
        return turned >= 360 ? 0 : turned;
    }

    private static float Fall(float[] polar, double[] mean, double level)
    {
        for (var i = polar.Length - 1; i > 0; i--)
        {
            if (mean[i - 1] >= level && mean[i] < level)
            {
                return (float)(polar[i - 1] + ((polar[i] - polar[i - 1]) * (mean[i - 1] - level) / (mean[i - 1] - mean[i])));
            }
        }

        return polar[^1];
    }
}
