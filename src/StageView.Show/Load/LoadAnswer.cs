namespace StageView.Show.Load;

/// <summary>A supply over a show.</summary>
/// <param name="Feed">As the rig file names it; empty for fixtures without one.</param>
/// <param name="Volts">Line to neutral, V.</param>
/// <param name="SaidAmps">What each phase is said to carry, A; null when not said.</param>
/// <param name="Phases">Its phases, 0 for fixtures of which no phase is stated.</param>
/// <param name="Kwh">Energy over the show, kWh.</param>
/// <param name="Worst">Its worst second.</param>
/// <param name="NeutralAmps">The neutral's highest current, over a second, A.</param>
/// <param name="NeutralAt">When, s.</param>
public sealed record FeedLoad(
    string Feed, double Volts, double? SaidAmps, IReadOnlyList<PhaseLoad> Phases, double Kwh, WorstSecond Worst, double NeutralAmps, double NeutralAt)
{
    /// <summary>Whether a phase draws more than is said that it carries.</summary>
    public bool IsOver => SaidAmps is { } amps && Phases.Any(p => p.Phase > 0 && (p.WorstAmps > amps || p.PeakAmps > amps));
}

/// <summary>One phase of a supply over a show.</summary>
/// <param name="Phase">1 to 3; 0 where none is stated.</param>
/// <param name="Fixtures">How many it supplies.</param>
/// <param name="FullKw">All at full, added up, kW.</param>
/// <param name="MeanKw">Over the show, kW.</param>
/// <param name="Worst">Its worst second.</param>
/// <param name="WorstAmps">Its current then, A.</param>
/// <param name="PeakAmps">Highest current at an instant, with what flashes at its peak, A.</param>
/// <param name="PeakAt">When, s.</param>
/// <param name="Kwh">kWh.</param>
public sealed record PhaseLoad(
    int Phase, int Fixtures, double FullKw, double MeanKw, WorstSecond Worst, double WorstAmps, double PeakAmps, double PeakAt, double Kwh);

/// <summary>The second with the highest mean power.</summary>
/// <param name="Kw">Mean over it, kW.</param>
/// <param name="At">When it begins, s.</param>
/// <param name="Timecode">Its label; null where there is none.</param>
public sealed record WorstSecond(double Kw, double At, string? Timecode);

/// <summary>Power over a show.</summary>
/// <param name="Seconds">How long it is, s.</param>
/// <param name="Kwh">Energy, kWh.</param>
/// <param name="MeanKw">kW.</param>
/// <param name="FullKw">Everything at full, added up, kW.</param>
/// <param name="Worst">The worst second of all feeds together.</param>
/// <param name="Feeds">By feed and phase.</param>
/// <param name="Series">Mean power of each phase of each feed over equal stretches, kW: at most 1200 rows.</param>
/// <param name="SeriesSeconds">Length of such a stretch, s.</param>
/// <param name="NoPower">Types without a stated power; they count as nothing.</param>
/// <param name="NoCurve">Types whose power is taken in proportion to their level, because their profile says no more.</param>
/// <param name="NoPhase">How many fixtures have no phase stated.</param>
/// <param name="Doubts">What is wrong with what levels came from.</param>
public sealed record LoadAnswer(
    double Seconds, double Kwh, double MeanKw, double FullKw, WorstSecond Worst, IReadOnlyList<FeedLoad> Feeds, IReadOnlyList<LoadRow> Series,
    double SeriesSeconds, IReadOnlyList<string> NoPower, IReadOnlyList<string> NoCurve, int NoPhase, IReadOnlyList<string> Doubts)
{
    /// <summary>What has to stand beside every figure.</summary>
    public const string Caution = "This is an estimate from profiles and levels, no measurement and no load calculation: inrush, harmonics in the neutral, "
        + "cable lengths, temperature and other consumers are not in it. An electrician decides on supply, cables, protection and phases under local codes.";

    /// <summary>Whether a phase draws more than its feed is said to carry.</summary>
    public bool IsOver => Feeds.Any(f => f.IsOver);
}

/// <summary>Power of one phase of one feed along the show.</summary>
/// <param name="Feed">The feed.</param>
/// <param name="Phase">The phase.</param>
/// <param name="Kw">Means of the stretches, kW.</param>
public sealed record LoadRow(string Feed, int Phase, IReadOnlyList<double> Kw);
