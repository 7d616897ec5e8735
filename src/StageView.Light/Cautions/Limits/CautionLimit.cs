namespace StageView.Light.Cautions.Limits;

/// <summary>One limit as it is told beside an answer.</summary>
/// <param name="Key">Its name in <see cref="CautionLimits"/>, as a command line or a rig file may spell it.</param>
/// <param name="Value">In <paramref name="Unit"/>.</param>
/// <param name="Unit">Such as lx; empty for a number or share.</param>
/// <param name="Meaning">What it decides, one clause.</param>
/// <param name="Source">Where the default comes from, or <see cref="CautionLimits.NoSource"/>.</param>
public sealed record CautionLimit(string Key, double Value, string Unit, string Meaning, string Source);
