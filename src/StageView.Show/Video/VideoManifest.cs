using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Serialization;
using StageView.Ground.Files;

namespace StageView.Show.Video;

/// <summary>What stands beside a shard, and in the folder of an unfinished render: enough to tell whether pieces belong together.</summary>
internal sealed record VideoManifest
{
    private static readonly JsonSerializerOptions Json = new() { WriteIndented = true, NewLine = "\n", Converters = { new JsonStringEnumConverter() } };

    /// <summary>Version of this layout.</summary>
    public int Layout { get; init; } = 1;

    /// <summary>Show time of frame 0 of the whole video, in ticks of 100 ns.</summary>
    public required long FromTicks { get; init; }

    public required string Rate { get; init; }

    /// <summary>Frames of the whole video.</summary>
    public required int Frames { get; init; }

    public required int Width { get; init; }

    public required int Height { get; init; }

    public required VideoQuality Quality { get; init; }

    public required string Source { get; init; }

    /// <summary>What drew the frames: graphics hardware or software rasteriser, and driver.</summary>
    public string Renderer { get; init; } = "";

    /// <summary>Which shard, from 1; 1 of 1 is the whole.</summary>
    public required int Shard { get; init; }

    public required int Shards { get; init; }

    /// <summary>SHA-256 of the shard's video file; empty while it isn't finished.</summary>
    public string File { get; init; } = "";

    /// <summary>SHA-256 of the raw frames of each finished segment, by its number in the whole video.</summary>
    public SortedDictionary<int, string> Segments { get; init; } = [];

    public static VideoManifest Of(VideoPlan plan, Shard shard, string renderer = "") => new()
    {
        FromTicks = plan.From.Ticks,
        Rate = plan.Rate.ToString(),
        Frames = plan.Frames,
        Width = plan.Width,
        Height = plan.Height,
        Quality = plan.Quality,
        Source = plan.Source,
        Renderer = renderer,
        Shard = shard.Index,
        Shards = shard.Count,
    };

    /// <summary>The plan, or a refusal that names the file.</summary>
    public VideoPlan Plan(string file) => FrameRate.TryParse(Rate, out var rate) && Frames is > 0 and <= VideoPlan.MostFrames && Width > 0 && Height > 0
        ? new VideoPlan(TimeSpan.FromTicks(FromTicks), rate, Frames, Width, Height, Quality, Source)
        : throw StopException.Wrong($"{file} does not describe a shard: render it again");

    /// <summary>What differs from another render's description, in words; null when both describe the same video.</summary>
    public string? Difference(VideoManifest other)
    {
        if (Layout != other.Layout)
        {
            return $"layout {Layout}, not {other.Layout}";
        }

        if (FromTicks != other.FromTicks)
        {
            return $"starts at {Seconds(FromTicks)} s, not {Seconds(other.FromTicks)} s";
        }

        if (Rate != other.Rate)
        {
            return $"{Rate} frames/s, not {other.Rate}";
        }

        if (Frames != other.Frames)
        {
            return $"{Frames} frames in all, not {other.Frames}";
        }

        if ((Width, Height) != (other.Width, other.Height))
        {
            return $"{Width}x{Height} pixels, not {other.Width}x{other.Height}";
        }

        if (Quality != other.Quality)
        {
            return $"quality {Quality}, not {other.Quality}";
        }

        if (Source != other.Source)
        {
            return "another rig, capture, camera or options";
        }

        if (Renderer != other.Renderer)
        {
            return $"drawn by \"{Renderer}\", not \"{other.Renderer}\"";
        }

        return Shards != other.Shards ? $"one of {Shards} shards, not of {other.Shards}" : null;
    }

    public void Write(string file) => WholeFile.WriteText(file, JsonSerializer.Serialize(this, Json) + "\n");

    public static VideoManifest Read(string file)
    {
        try
        {
            var length = new FileInfo(file).Length;
            if (length > 64 << 20)
            {
                throw StopException.Wrong($"{file} is too long for a description of a shard: render the shard again");
            }

            return JsonSerializer.Deserialize<VideoManifest>(System.IO.File.ReadAllText(file), Json) ?? throw new JsonException("it is empty");
        }
        catch (JsonException e)
        {
            throw StopException.Wrong($"{file} can't be read ({Line(e.Message)}): render the shard again");
        }
    }

    /// <summary>SHA-256 of a file.</summary>
    public static async Task<string> SumAsync(string file, CancellationToken stop)
    {
        await using var stream = System.IO.File.OpenRead(file);
        return Convert.ToHexStringLower(await SHA256.HashDataAsync(stream, stop).ConfigureAwait(false));
    }

    private static string Line(string text) => text.ReplaceLineEndings(" ");

    private static double Seconds(long ticks) => Math.Round(ticks / (double)TimeSpan.TicksPerSecond, 3);
}
