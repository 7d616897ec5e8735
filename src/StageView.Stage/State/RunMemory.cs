using StageView.Stage.Motion;

namespace StageView.Stage.State;

/// <summary>A fixture's folded state, put aside.</summary>
internal sealed record RunMemory(
    uint[] Raw, int[] Functions, int[] Sets, float[] Physical, float[] Wheel, Travel[] Travels, float[] Top, IntensityTrack[] Tracks, double RestAt,
    double ChangedAt);
