namespace StageView.Show.Pixels;

/// <summary>How far pixels are from where a map thinks they are, at one time.</summary>
/// <param name="Seconds">Show time.</param>
/// <param name="Largest">In the picture's plane, m.</param>
/// <param name="Median">m.</param>
/// <param name="Pitches">The largest in pixel pitches.</param>
/// <param name="WipeSeconds">How wrong a wipe is at the pixel with the largest, s, at the speed asked for and along its displacement.</param>
/// <param name="Away">Pixels that are turned away.</param>
/// <param name="LevelError">Mean difference of the picture's luminance between where the map thinks pixels are and where they are, share of full white; null
/// without content.</param>
/// <param name="Worst">The fixture with the largest; empty when nothing moved.</param>
public sealed record TrackedTime(
    double Seconds, float Largest, float Median, float Pitches, float WipeSeconds, int Away, float? LevelError, string Worst);

/// <summary>The worst of one fixture over the times looked at.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="Largest">m.</param>
/// <param name="Pitches">The same in pixel pitches.</param>
/// <param name="Seconds">When, show time.</param>
public sealed record TrackedPanel(string Fixture, float Largest, float Pitches, double Seconds);

/// <summary>Where pixels are, where a fixed map thinks they are, and what the difference does to content.</summary>
/// <param name="Map">The map's name, or that of the content whose throw was taken as one.</param>
/// <param name="Content">The content that was sampled, or empty.</param>
/// <param name="Pixels">Pixels that have a place.</param>
/// <param name="Wipe">m/s.</param>
/// <param name="Times">In order of time.</param>
/// <param name="Panels">The worst first; those that never moved are left out.</param>
public sealed record PixelsAnswer(
    string Map, string Content, int Pixels, double Wipe, IReadOnlyList<TrackedTime> Times, IReadOnlyList<TrackedPanel> Panels)
{
    /// <summary>The time with the largest displacement; null without times.</summary>
    public TrackedTime? Worst => Times.MaxBy(t => t.Largest);
}
