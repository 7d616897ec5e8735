using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using StageView.Ground.Files;
using StageView.Ground.Systems;
using StageView.Rig.Pieces;
using StageView.Stage.Content;
using StageView.Wire.Clock;

namespace StageView.Show.Content;

/// <summary>
/// Content out of a file through ffmpeg: image, image sequence or video. Frames are asked for by time in any order; reading on is
/// fast, going back or far ahead starts ffmpeg anew at that frame.
/// </summary>
internal sealed partial class ContentFile : IContentFrames, IDisposable
{
    /// <summary>Content is scaled down to this many pixels a side at most: pixel surfaces are coarser.</summary>
    public const int MostPixels = 1920;

    private const int ReadAhead = 50;
    private const long MostFrames = 10_000_000;

    private readonly ContentPlacement _placement;
    private readonly string _program;
    private readonly double _rate;
    private readonly long _frames;
    private readonly int _width;
    private readonly int _height;
    private readonly byte[] _bytes;
    private readonly object _gate = new();
    private Process? _reader;
    private long _next;
    private long _have = -1;
    private ContentImage? _image;

    private ContentFile(ContentPlacement placement, string program, int width, int height, double rate, long frames)
    {
        (_placement, _program, _rate, _frames) = (placement, program, rate, frames);
        var scale = Math.Min(1, (double)MostPixels / Math.Max(width, height));
        (_width, _height) = (Math.Max(1, (int)Math.Round(width * scale)), Math.Max(1, (int)Math.Round(height * scale)));
        _bytes = new byte[_width * _height * 3];
    }

    /// <summary>Frames in it; 1 for an image.</summary>
    public long Frames => _frames;

    /// <exception cref="StopException">The file is missing, isn't a picture, or ffmpeg is; the message names where the rig asks for it.</exception>
    public static ContentFile Open(ContentPlacement placement, string program = "ffmpeg", string probe = "ffprobe")
    {
        var sequence = placement.FullPath.Contains('%', StringComparison.Ordinal);
        Look(placement);
        List<string> arguments = ["-v", "error", "-count_packets", "-select_streams", "v:0", "-show_entries",
            "stream=width,height,r_frame_rate,avg_frame_rate,nb_read_packets", "-of", "json"];
        arguments.AddRange(Input(placement));
        using var process = Start(probe, arguments);
        var errors = process.StandardError.ReadToEndAsync();
        var said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0)
        {
            throw Wrong(placement, $"ffprobe can't read {placement.FullPath}: {LastLine(errors.Result)}");
        }

        using var json = JsonDocument.Parse(said);
        if (!json.RootElement.TryGetProperty("streams", out var streams) || streams.GetArrayLength() == 0)
        {
            throw Wrong(placement, $"{placement.FullPath} holds no picture");
        }

        var stream = streams[0];
        var (width, height) = (stream.GetProperty("width").GetInt32(), stream.GetProperty("height").GetInt32());
        _ = long.TryParse(stream.GetProperty("nb_read_packets").GetString(), NumberStyles.None, CultureInfo.InvariantCulture, out var frames);
        if (width is < 1 or > 16384 || height is < 1 or > 16384 || frames is < 1 or > MostFrames)
        {
            throw Wrong(placement, $"{placement.FullPath} is {width}x{height} with {frames} frames, which is no content");
        }

        var (rate, mean) = (Fraction(stream, "r_frame_rate"), Fraction(stream, "avg_frame_rate"));
        if (frames > 1 && !sequence && (rate is < 1 or > 240 || Math.Abs(rate - mean) > rate * 0.002))
        {
            throw Wrong(placement,
                $"{placement.FullPath} has a varying frame rate, so a time does not name a frame: make it constant with 'ffmpeg -i FILE -vf fps=30 NEW.mp4'");
        }

        return new ContentFile(placement, program, width, height, sequence ? placement.SequenceRate : rate, frames);
    }

    /// <summary>Opens all content that a rig names. Placements that show the same frame of a file at any time share what reads it.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="inputs">Whether live inputs, devices and addresses on the network, are opened; otherwise their content never shows.</param>
    /// <param name="timecode">Show time of a timecode that content starts at; null where there is none, and such content never shows.</param>
    /// <param name="track">The timecode that content follows; null where there is none, and such content never shows.</param>
    public static IReadOnlyList<PlacedContent> OpenAll(
        RigScene rig, Func<ContentPlacement, TimeSpan?>? timecode = null, bool inputs = false, Func<ContentPlacement, TimecodeTrack?>? track = null)
    {
        var opened = new List<PlacedContent>();
        var files = new Dictionary<(string, TimeSpan, string?, bool, float, TimeSpan, double), IContentFrames>();
        var maps = new ContentMaps(rig);
        foreach (var written in rig.Content)
        {
            var (placement, followed) = (written, (TimecodeTrack?)null);
            if (written.Clock == ContentClock.Timecode)
            {
                followed = track?.Invoke(written);
            }
            else if (written.StartTimecode is not null)
            {
                placement = written with { Start = timecode?.Invoke(written) ?? TimeSpan.MaxValue };
            }

            Func<TimeSpan, TimeSpan?>? since = written.Clock == ContentClock.Timecode ? at => ContentTimes.Since(written, at, followed) : null;
            if (placement.Input is { } input)
            {
                if (inputs)
                {
                    opened.Add(new PlacedContent(placement, new LiveInput(input), maps.Of(placement)));
                }

                continue;
            }

            var still = ContentStill.Reads(placement.FullPath);
            var key = still ? (placement.FullPath, default, null, default, default, default, default)
                : (placement.FullPath, placement.Start, since is null ? null : placement.StartTimecode, placement.Repeat, placement.SequenceRate,
                    placement.Offset, placement.Pace);
            if (!files.TryGetValue(key, out var frames))
            {
                files[key] = frames = still ? ContentStill.Open(placement) : Open(placement);
            }

            opened.Add(new PlacedContent(placement, frames, maps.Of(placement), since));
        }

        return opened;
    }

    /// <summary>Looks whether the file is there, and is itself; of a sequence the first of the frames that ffmpeg begins with, 0 to 4.</summary>
    /// <exception cref="StopException">It isn't.</exception>
    internal static void Look(ContentPlacement placement)
    {
        var file = placement.FullPath;
        if (FrameNumber().Match(file) is { Success: true } number)
        {
            var digits = number.Groups[1].Length > 0 ? int.Parse(number.Groups[1].Value, CultureInfo.InvariantCulture) : 1;
            file = Enumerable.Range(0, 5).Select(n => FrameNumber().Replace(placement.FullPath, n.ToString("D" + digits, CultureInfo.InvariantCulture), 1))
                .FirstOrDefault(File.Exists);
        }
        else if (!file.Contains('%', StringComparison.Ordinal) && !File.Exists(file))
        {
            throw Wrong(placement, $"{file} does not exist");
        }

        try
        {
            if (file is not null && File.Exists(file) && StoragePointer.IsAt(file))
            {
                throw Wrong(placement, $"{file} {StoragePointer.Told}");
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw Wrong(placement, $"{file} can't be read: {e.Message}");
        }
    }

    [GeneratedRegex(@"%0?(\d{0,2})d")]
    private static partial Regex FrameNumber();

    /// <inheritdoc/>
    public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat)
    {
        // A thousandth of a frame forgives times that were rounded down just before a frame.
        var frame = _frames == 1 ? 0 : (long)Math.Floor((sinceStart.TotalSeconds * _rate) + 1e-3);
        if (frame >= _frames)
        {
            if (!repeat)
            {
                return null;
            }

            frame %= _frames;
        }

        lock (_gate)
        {
            if (frame != _have)
            {
                _image = Read(frame);
                _have = frame;
            }

            return _image;
        }
    }

    private ContentImage Read(long frame)
    {
        if (_reader is null || frame < _next || frame > _next + ReadAhead)
        {
            Close();
            List<string> arguments = ["-v", "error", "-nostdin"];
            if (frame > 0)
            {
                // Half a frame early: rounding can't lose the wanted frame, and what lies before is dropped.
                arguments.AddRange(["-ss", ((frame - 0.5) / _rate).ToString("F6", CultureInfo.InvariantCulture)]);
            }

            arguments.AddRange(Input(_placement));
            arguments.AddRange(["-an", "-sn", "-fps_mode", "passthrough", "-vf", $"scale={_width}:{_height}:flags=area+accurate_rnd+full_chroma_int+bitexact",
                "-f", "rawvideo", "-pix_fmt", "rgb24", "-"]);
            _reader = Start(_program, arguments);
            _ = _reader.StandardError.ReadToEndAsync();
            _next = frame;
        }

        for (; _next <= frame; _next++)
        {
            if (_reader.StandardOutput.BaseStream.ReadAtLeast(_bytes, _bytes.Length, throwOnEndOfStream: false) < _bytes.Length)
            {
                throw Wrong(_placement, $"{_placement.FullPath} ends before its frame {frame + 1} of {_frames}");
            }
        }

        return ContentImage.FromSrgb(_width, _height, _bytes);
    }

    /// <summary>A film that names others may not reach over the network for them.</summary>
    private static IEnumerable<string> Input(ContentPlacement placement) => placement.FullPath.Contains('%', StringComparison.Ordinal)
        ? ["-framerate", placement.SequenceRate.ToString(CultureInfo.InvariantCulture), "-f", "image2", "-i", placement.FullPath]
        : ["-protocol_whitelist", "file", "-i", placement.FullPath];

    private static double Fraction(JsonElement stream, string key)
    {
        var parts = (stream.TryGetProperty(key, out var v) ? v.GetString() ?? "" : "").Split('/');
        return parts.Length == 2
            && double.TryParse(parts[0], CultureInfo.InvariantCulture, out var n)
            && double.TryParse(parts[1], CultureInfo.InvariantCulture, out var d) && d > 0 ? n / d : 0;
    }

    private static Process Start(string program, IReadOnlyList<string> arguments)
    {
        try
        {
            return Process.Start(new ProcessStartInfo(OutsideProgram.File(program), arguments)
            {
                UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true,
            })
                ?? throw StopException.Machine($"{program} did not start");
        }
        catch (Win32Exception)
        {
            throw StopException.Machine($"{program} is not installed, and content of the rig is read with it: {OutsideProgram.Install("ffmpeg")}");
        }
    }

    internal static StopException Wrong(ContentPlacement placement, string why) =>
        StopException.Wrong($"{(placement.Source is { } at ? $"{at}: " : "")}content \"{placement.Name}\": {why}");

    private static string LastLine(string text) =>
        text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries) is [.., var last] ? last : "no reason given";

    private void Close()
    {
        if (_reader is { } reader)
        {
            if (!reader.HasExited)
            {
                reader.Kill();
            }

            reader.Dispose();
            _reader = null;
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            Close();
        }
    }
}
