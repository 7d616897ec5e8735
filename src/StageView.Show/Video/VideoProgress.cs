namespace StageView.Show.Video;

/// <param name="Done">Frames of this shard that are encoded, those of an earlier run included.</param>
/// <param name="Total">Frames of this shard.</param>
/// <param name="Kept">Frames that an earlier run had left finished.</param>
/// <param name="Remaining">Time still needed at the pace of this run; null before its first frame.</param>
public readonly record struct VideoProgress(int Done, int Total, int Kept, TimeSpan? Remaining);
