namespace StageView.Live.Server;

/// <summary>Media types of sound files by their ending, as IANA registers them or browsers know them.</summary>
internal static class SoundType
{
    public static string Of(string file) => Path.GetExtension(file).ToLowerInvariant() switch
    {
        ".wav" => "audio/wav",
        ".flac" => "audio/flac",
        ".mp3" => "audio/mpeg",
        ".m4a" => "audio/mp4",
        ".aac" => "audio/aac",
        ".ogg" or ".oga" or ".opus" => "audio/ogg",
        ".webm" => "audio/webm",
        _ => "application/octet-stream",
    };
}
