using StageView.Rig.Profiles;

namespace StageView.Show.Load;

/// <summary>What a fixture draws.</summary>
public static class FixturePower
{
    /// <summary>Standby and the curve's share of what is left to full; while a lamp that was struck cold warms up, that.</summary>
    /// <param name="full">At full, W.</param>
    /// <param name="load">What the profile says; null for in proportion to the level.</param>
    /// <param name="level">0 to 1.</param>
    /// <param name="sinceStruck">s since the lamp was struck cold; null when it is warm.</param>
    /// <returns>W.</returns>
    public static double Watts(double full, LoadData? load, double level, double? sinceStruck = null)
    {
        if (load is null)
        {
            return full * level;
        }

        var steady = load.StandbyWatts + ((full - load.StandbyWatts) * Share(load.Curve, level));
        return sinceStruck < load.WarmUpSeconds ? Math.Max(steady, load.WarmUpWatts) : steady;
    }

    private static double Share(IReadOnlyList<(double Level, double Share)> curve, double level)
    {
        if (curve.Count == 0)
        {
            return level;
        }

        for (var i = 0; i < curve.Count; i++)
        {
            if (level <= curve[i].Level)
            {
                return i == 0 ? curve[0].Share
                    : curve[i - 1].Share + ((curve[i].Share - curve[i - 1].Share) * (level - curve[i - 1].Level) / (curve[i].Level - curve[i - 1].Level));
            }
        }

        return curve[^1].Share;
    }
}
