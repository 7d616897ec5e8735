using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using StageView.Ground.Files;
using StageView.Ground.Systems;

namespace StageView.Show.Video;

/// <summary>The ffmpeg program: encodes raw frames from a pipe, joins files without encoding, counts frames.</summary>
public sealed class Ffmpeg(string program = "ffmpeg", string probe = "ffprobe")
{
    private static string Missing =>
        $"not installed, and videos are encoded with it: {OutsideProgram.Install("ffmpeg")}, or render single frames with --at and a .png";

    /// <summary>Starts encoding frames of one plan to <paramref name="file"/>; write width × height × 4 bytes of RGBA a frame to it.</summary>
    public EncodeRun Encode(VideoPlan plan, string file)
    {
        List<string> arguments =
        [
            "-v", "error", "-nostdin", "-y",
            "-f", "rawvideo", "-pix_fmt", "rgba", "-s", $"{plan.Width}x{plan.Height}", "-framerate", plan.Rate.ToString(), "-i", "pipe:0",
            .. Codec(plan.Quality),
            // No reordered frames: pieces then join to the frame, and an edit list is never needed. A fixed thread count, since the encoder's output depends on
            // it.
            "-bf", "0", "-threads", "2", "-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact", "-f", "mp4", file,
        ];
        return new EncodeRun(Start(program, arguments, input: true));
    }

    private static IEnumerable<string> Codec(VideoQuality quality) => quality == VideoQuality.Lossless
        ? ["-c:v", "libx264rgb", "-preset", "fast", "-qp", "0", "-pix_fmt", "rgb24"]
        :
        [
            "-vf", "scale=out_color_matrix=bt709:out_range=tv:flags=accurate_rnd+full_chroma_int+bitexact,format=yuv420p",
            "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "iec61966-2-1", "-color_range", "tv",
            // aq-mode 3 spends more on the dark parts, where haze would band.
            "-c:v", "libx264", "-preset", "medium", "-crf", quality == VideoQuality.Small ? "23" : "16", "-x264-params", "aq-mode=3",
        ];

    /// <summary>Joins files of the same encoding in the given order into <paramref name="file"/>, without encoding anew.</summary>
    public async Task JoinAsync(IReadOnlyList<string> files, string file, CancellationToken stop)
    {
        var list = file + ".list.part";
        // The concat list's quoting: a single quote is closed, escaped, opened again.
        await File.WriteAllLinesAsync(list, files.Select(f => $"file '{Path.GetFullPath(f).Replace("'", @"'\''", StringComparison.Ordinal)}'"),
            stop).ConfigureAwait(false);
        try
        {
            var part = WholeFile.PartOf(file);
            await RunAsync(program, ["-v", "error", "-nostdin", "-y", "-f", "concat", "-safe", "0", "-i", list, "-map", "0:v", "-c", "copy", "-map_metadata",
                "-1", "-fflags", "+bitexact", "-movflags", "+faststart", "-f", Container(file), part], stop).ConfigureAwait(false);
            WholeFile.Finish(file);
        }
        finally
        {
            File.Delete(list);
        }
    }

    /// <summary>Frames in a video file.</summary>
    public async Task<int> CountAsync(string file, CancellationToken stop)
    {
        var said = await RunAsync(probe,
            ["-v", "error", "-select_streams", "v:0", "-count_packets", "-show_entries", "stream=nb_read_packets", "-of", "csv=p=0", file],
            stop).ConfigureAwait(false);
        return int.TryParse(said.Trim().TrimEnd(','), NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : 0;
    }

    /// <summary>ffmpeg's name of the container that a file's extension asks for.</summary>
    public static string Container(string file) => Path.GetExtension(file).ToLowerInvariant() switch
    {
        ".mp4" => "mp4",
        ".mov" => "mov",
        ".mkv" => "matroska",
        var other => throw StopException.Wrong($"a video ends in .mp4, .mov or .mkv, not '{other}' ({file})"),
    };

    private static async Task<string> RunAsync(string program, IReadOnlyList<string> arguments, CancellationToken stop)
    {
        using var process = Start(program, arguments, input: false);
        try
        {
            var output = process.StandardOutput.ReadToEndAsync(stop);
            var errors = process.StandardError.ReadToEndAsync(stop);
            await process.WaitForExitAsync(stop).ConfigureAwait(false);
            return process.ExitCode == 0 ? await output.ConfigureAwait(false) : throw Failed(program, await errors.ConfigureAwait(false));
        }
        catch (OperationCanceledException)
        {
            process.Kill();
            throw;
        }
    }

    internal static StopException Failed(string program, string errors)
    {
        var lines = errors.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        return StopException.Machine($"{Path.GetFileName(program)} gave up: {(lines.Length == 0 ? "no reason given" : lines[^1])}");
    }

    private static Process Start(string program, IReadOnlyList<string> arguments, bool input)
    {
        var start = new ProcessStartInfo
        {
            UseShellExecute = false,
            RedirectStandardInput = input,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var a in arguments)
        {
            start.ArgumentList.Add(a);
        }

        try
        {
            start.FileName = OutsideProgram.File(program);
            return Process.Start(start) ?? throw StopException.Machine($"{program} did not start");
        }
        catch (Win32Exception)
        {
            throw StopException.Machine($"{program} is {Missing}");
        }
    }
}
