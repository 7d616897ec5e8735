namespace StageView.Show.Machine;

/// <summary>One thing that was found of the machine.</summary>
/// <param name="What">What was looked for.</param>
/// <param name="Found">What was found.</param>
/// <param name="Do">What to do where it is missing or stands in the way; null where all is well.</param>
public sealed record MachineFact(string What, string Found, string? Do = null);
