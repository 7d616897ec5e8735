using System.Globalization;
using StageView.Ground.Files;

namespace StageView.Show.Video;

/// <summary>Where the pieces of a video lie.</summary>
public static class VideoNames
{
    /// <summary><c>show.shard-03-of-16.mp4</c> for <c>show.mp4</c>; the video itself when it isn't sharded.</summary>
    public static string ShardFile(string video, Shard shard)
    {
        if (shard.IsWhole)
        {
            return video;
        }

        var digits = shard.Count.ToString(CultureInfo.InvariantCulture).Length;
        var number = shard.Index.ToString("D" + digits, CultureInfo.InvariantCulture);
        var name = $"{Path.GetFileNameWithoutExtension(video)}.shard-{number}-of-{shard.Count}{Path.GetExtension(video)}";
        return Slashes.Join(Path.GetDirectoryName(video) ?? "", name);
    }

    /// <summary>The description that lies beside a shard.</summary>
    public static string Manifest(string shardFile) => shardFile + ".json";

    /// <summary>Folder of finished segments of an unfinished render.</summary>
    public static string Parts(string shardFile) => shardFile + ".parts";

    public static string Segment(string parts, int segment) => Path.Combine(parts, $"segment-{segment:D6}.mp4");
}
