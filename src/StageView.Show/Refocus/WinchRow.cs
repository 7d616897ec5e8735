using StageView.Show.Questions;

namespace StageView.Show.Refocus;

/// <summary>A height that a winch holds in the show, and the travel that keeps it in the new venue.</summary>
/// <param name="Fixture">The winch.</param>
/// <param name="FixtureNumber">The number the console knows it by.</param>
/// <param name="Hang">What it hangs on in the new venue.</param>
/// <param name="Times">When it is held, show time, s; of each use the beginning.</param>
/// <param name="Old">Value of its channel in the old venue, m.</param>
/// <param name="New">Value that holds the height over the stage floor, m; the nearest that it can travel to.</param>
/// <param name="Lower">How much lower (above zero) or higher than before its load then hangs, m; 0 where the height is held.</param>
/// <param name="Carries">Names of fixtures and scenery on it.</param>
/// <param name="Channels">The DMX value.</param>
public sealed record WinchRow(
    string Fixture, string FixtureNumber, string Hang, IReadOnlyList<double> Times, float Old, float New, float Lower, IReadOnlyList<string> Carries,
    IReadOnlyList<AimChannel> Channels);

/// <summary>A turning mirror that has to stand otherwise in the new venue, since its beams would miss it.</summary>
/// <param name="Fixture">The fixture that turns it.</param>
/// <param name="FixtureNumber">The number the console knows it by.</param>
/// <param name="Hang">What it hangs on in the new venue.</param>
/// <param name="Times">When it is used so, show time, s.</param>
/// <param name="OldPan">Degrees.</param>
/// <param name="OldTilt">Degrees.</param>
/// <param name="NewPan">Degrees.</param>
/// <param name="NewTilt">Degrees.</param>
/// <param name="For">The positions that go by it.</param>
/// <param name="Channels">The DMX values.</param>
public sealed record MirrorRow(
    string Fixture, string FixtureNumber, string Hang, IReadOnlyList<double> Times, float OldPan, float OldTilt, float NewPan, float NewTilt,
    IReadOnlyList<string> For, IReadOnlyList<AimChannel> Channels);

/// <summary>A zoom and focus that a position uses, and those that do the same in the new venue.</summary>
/// <param name="Zoom">Value of its attribute, degrees; null for a head without zoom.</param>
/// <param name="ZoomThatHolds">Degrees at which the spot is as wide as before; null where it can't, or there is no zoom.</param>
/// <param name="Focus">Value of its attribute, m or a share; null for a head without focus.</param>
/// <param name="FocusThatHolds">The value at which edges are as soft as before; null where it can't, or there is no focus.</param>
public sealed record OpticsRow(float? Zoom, float? ZoomThatHolds, float? Focus, float? FocusThatHolds);
