namespace StageView.Light.Cautions.Lasers;

/// <summary>How an exposure compares with the limit by the three rules for repeated pulses: each as exposure over limit, above 1 beyond it.</summary>
/// <param name="OnePulse">The worst single pulse.</param>
/// <param name="Average">All pulses of the worst stretch together, against the limit for that stretch.</param>
/// <param name="Repeated">The worst pulse against its limit times C5.</param>
/// <param name="Pulses">Pulses within the exposure.</param>
public readonly record struct ExposureRatio(double OnePulse, double Average, double Repeated, int Pulses)
{
    /// <summary>The most restrictive of the three.</summary>
    public double Worst => Math.Max(OnePulse, Math.Max(Average, Repeated));
}

/// <summary>
/// Effective exposure of a train of pulses (IEC 60825-1:2014, 4.3 f and A.3): single pulse, average, and the correction for repeated pulses.
/// </summary>
public static class PulseTrain
{
    /// <summary>Trains with more pulses are averaged over the stretches from their first pulse on alone.</summary>
    private const int MostForAllStretches = 512;

    /// <summary>Compares a train with the limits.</summary>
    /// <param name="pulses">By time, none overlapping; those beyond the exposure time are left out, one that runs over its end is cut.</param>
    /// <param name="exposureSeconds">Exposure time, s, 5 µs to 10 s; .25 s with the aversion response.</param>
    /// <param name="sourceMilliradians">Angle that the source fills, mrad; 1.5 for a beam.</param>
    public static ExposureRatio Compare(IReadOnlyList<Pulse> pulses, double exposureSeconds = VisibleExposure.AversionSeconds, double sourceMilliradians = 1.5)
    {
        ArgumentNullException.ThrowIfNull(pulses);
        if (!(exposureSeconds is >= VisibleExposure.PulseGroupSeconds and <= 10))
        {
            throw new ArgumentOutOfRangeException(nameof(exposureSeconds), exposureSeconds, "an exposure takes 5e-6 to 10 s, where the formula holds");
        }

        var grouped = Grouped(pulses, exposureSeconds);
        if (grouped.Count == 0)
        {
            return default;
        }

        var (single, repeated) = (0.0, 0.0);
        foreach (var p in grouped)
        {
            var limit = VisibleExposure.RadiantExposure(Math.Clamp(p.Seconds, 1e-11, 10));
            single = Math.Max(single, p.JoulesPerSquareMetre / limit);
            var c5 = VisibleExposure.RepetitionFactor(p.Seconds, grouped.Count, exposureSeconds, sourceMilliradians);
            repeated = Math.Max(repeated, p.JoulesPerSquareMetre / (limit * c5));
        }

        return new ExposureRatio(single, Average(grouped, exposureSeconds), repeated, grouped.Count);
    }

    /// <summary>Pulses that touch become one; so do those that begin within Ti of the first of their group, with Ti as duration.</summary>
    private static List<Pulse> Grouped(IReadOnlyList<Pulse> pulses, double exposure)
    {
        var list = new List<Pulse>();
        if (pulses.Count == 0)
        {
            return list;
        }

        var end = pulses[0].Start + exposure;
        foreach (var pulse in pulses)
        {
            if (pulse.Start >= end || pulse.Seconds <= 0)
            {
                continue;
            }

            var p = pulse.End <= end ? pulse
                : pulse with { Seconds = end - pulse.Start, JoulesPerSquareMetre = pulse.JoulesPerSquareMetre * (end - pulse.Start) / pulse.Seconds };
            if (list.Count > 0 && list[^1] is var last)
            {
                if (p.Start - last.End <= 1e-9)
                {
                    list[^1] = last with { Seconds = p.End - last.Start, JoulesPerSquareMetre = last.JoulesPerSquareMetre + p.JoulesPerSquareMetre };
                    continue;
                }

                if (p.End - last.Start <= VisibleExposure.PulseGroupSeconds)
                {
                    list[^1] = new Pulse(last.Start, VisibleExposure.PulseGroupSeconds, last.JoulesPerSquareMetre + p.JoulesPerSquareMetre);
                    continue;
                }
            }

            list.Add(p);
        }

        return list;
    }

    /// <summary>Irregular trains are judged over every stretch from one pulse's start to another's end, and over the whole exposure.</summary>
    private static double Average(List<Pulse> pulses, double exposure)
    {
        var total = pulses.Sum(p => p.JoulesPerSquareMetre);
        var worst = total / VisibleExposure.RadiantExposure(exposure);
        var starts = pulses.Count <= MostForAllStretches ? pulses.Count : 1;
        for (var i = 0; i < starts; i++)
        {
            var sum = 0.0;
            for (var k = i; k < pulses.Count; k++)
            {
                sum += pulses[k].JoulesPerSquareMetre;
                var stretch = Math.Max(VisibleExposure.PulseGroupSeconds, pulses[k].End - pulses[i].Start);
                worst = Math.Max(worst, sum / VisibleExposure.RadiantExposure(Math.Min(stretch, 10)));
            }
        }

        return worst;
    }
}
