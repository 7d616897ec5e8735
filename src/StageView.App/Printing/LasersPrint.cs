using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How lasers are told to people and programs.</summary>
internal static class LasersPrint
{
    /// <summary>Mirrors named in a row of a terminal.</summary>
    private const int MirrorsNamed = 6;

    public static void Print(RigScene rig, LasersAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(Document(rig, answer));
            return;
        }

        foreach (var table in (LaserTables.Table[])[LaserTables.Lasers(answer), LaserTables.Ends(answer), LaserTables.Volumes(answer),
            LaserTables.Mirrors(answer, MirrorsNamed), LaserTables.Spells(answer)])
        {
            if (table.Rows.Count > 0)
            {
                Console.WriteLine(table.Title.ToLowerInvariant() + ":");
                Answers.Table([.. table.Columns], table.Rows.Select(r => r.ToArray()));
            }
        }

        Console.WriteLine(LaserWords.Heights);
        Console.WriteLine($"limit used: {F(answer.IrradianceLimit, "0.00")} W/m2 for one exposure (18 t^0.75 J/m2, IEC 60825-1:2014, table A.1); "
            + "scanned figures by single pulse, average and repeated pulses (4.3 f)");
        foreach (var limit in answer.Limits.Laser)
        {
            Console.WriteLine(LaserWords.Limit(limit));
        }

        Console.WriteLine($"not checked: {string.Join("; ", answer.NotChecked.Select(n => n.What))}");
        Console.WriteLine("reasons to look:");
        foreach (var reason in LaserReasons.Of(answer))
        {
            Console.WriteLine("  " + reason);
        }

        Console.WriteLine(LaserWords.Deference);
    }

    private static object Document(RigScene rig, LasersAnswer answer) => new
    {
        rig = rig.Name,
        moments = new { from = answer.Moments.From, to = answer.Moments.To, count = answer.Moments.Count },
        irradianceLimit = answer.IrradianceLimit,
        limits = answer.Limits.Laser,
        lasers = answer.Lasers.Select(l => new
        {
            l.Fixture, l.Aperture, l.Apertures, l.Watts, l.Wavelengths, l.ApertureMetres, l.DivergenceRadians, figures = l.Scans, l.SeenWatts, l.HazardDistance,
            l.StillHazardDistance, l.FullHazardDistance, l.MirrorHazardDistance, l.DiffuseHazardDistance,
        }),
        ends = answer.Ends.Select(e => new
        {
            e.Number, e.Fixture, e.Mirrors, e.Surface, open = e.IsOpen, point = Array(e.Point), e.PathMetres, e.Watts, e.Irradiance, e.ExposureRatio,
            e.HazardDistance, e.Reflectance, e.DiffuseHazardDistance, e.VolumeInDiffuse, seconds = Seconds(e.Times),
        }),
        volumes = answer.Volumes.Select(v => new
        {
            v.Fixture, v.Volume, crew = v.IsCrew, v.LeastHeight, v.LeastSeparation, point = Array(v.Point), v.Enters, listed = v.IsListed, v.ExposureRatio,
            seconds = Seconds(v.Times),
        }),
        mirrors = answer.Mirrors,
        times = answer.Times.Select(t => new
        {
            t.Fixture, t.From, t.To, t.Watts, pan = t.Pan is { } p ? new[] { p.From, p.To } : null, tilt = t.Tilt is { } q ? new[] { q.From, q.To } : null,
            figures = t.Scans,
        }),
        notChecked = answer.NotChecked,
        @checked = answer.AnythingChecked,
        reasons = LaserReasons.Of(answer),
        caution = LaserWords.Deference,
    };

    private static IEnumerable<double[]> Seconds(IReadOnlyList<(double From, double To)> times) => times.Select(t => new[] { t.From, t.To });
}
