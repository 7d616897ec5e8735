using System.Globalization;
using StageView.Ground.Systems;
using StageView.Show.Programs;

namespace StageView.Show.Sound;

/// <summary>Where sound comes from: an input of this machine, a stream or a file, and the program that reads it as PCM of 16 bits.</summary>
public sealed record SoundSource
{
    /// <summary>Samples a second that are asked for.</summary>
    public const int SampleRate = 48_000;

    /// <summary>The most channels that one is chosen from.</summary>
    public const int MostChannels = 64;

    private const string Alsa = "alsa";
    private const string Recorder = "arecord";
    private static readonly string[] s_systems = [Alsa, "pulse", "jack", "oss", "openal", "avfoundation", "dshow", "lavfi"];

    // What it is made of is not looked into for seconds.
    private static readonly string[] s_atOnce = ["-probesize", "65536", "-analyzeduration", "0"];

    /// <summary>As it was named.</summary>
    public required string Name { get; init; }

    /// <summary>What reads it.</summary>
    public required ReadProgram Program { get; init; }

    /// <summary>Channels of what the program writes.</summary>
    public int Channels { get; init; } = 1;

    /// <summary>Which of them is heard, from 0.</summary>
    public int Channel { get; init; }

    /// <summary>What can be written for <c>NAME</c>.</summary>
    public static string Forms => "alsa:DEVICE, pulse:DEVICE or another input of ffmpeg's, arecord:DEVICE, a stream's address, or a sound file";

    /// <param name="name">One of <see cref="Forms"/>.</param>
    /// <param name="channel">From 1.</param>
    /// <exception cref="StopException">None of them, no such file, or no such channel.</exception>
    public static SoundSource Parse(string name, int channel)
    {
        if (channel is < 1 or > MostChannels)
        {
            throw StopException.Wrong($"--ltc-channel {channel} is out of range: channels from 1 to {MostChannels}");
        }

        var (system, device) = name.IndexOf(':', StringComparison.Ordinal) is > 0 and var colon ? (name[..colon], name[(colon + 1)..]) : ("", "");
        if (system == Recorder || s_systems.Contains(system))
        {
            return device.Length == 0 ? throw StopException.Wrong($"--ltc {name}: no device behind the colon, such as {system}:default")
                : system == Recorder ? ByRecorder(name, device, channel)
                : ByFfmpeg(name, channel, [.. s_atOnce, .. MoreChannels(system, channel), "-f", system, "-i", device]);
        }

        if (name.Contains("://", StringComparison.Ordinal))
        {
            return ByFfmpeg(name, channel, [.. s_atOnce, "-protocol_whitelist", ReadProgram.StreamProtocols, "-i", name]);
        }

        return File.Exists(name) ? ByFfmpeg(name, channel, ["-re", "-protocol_whitelist", "file", "-i", Path.GetFullPath(name)])
            : throw StopException.Wrong($"--ltc {name}: no such sound file; write {Forms}");
    }

    /// <summary>Two channels are what a system's input gives unless asked for more.</summary>
    private static string[] MoreChannels(string system, int channel) =>
        system is Alsa or "pulse" && channel > 2 ? ["-channels", channel.ToString(CultureInfo.InvariantCulture)] : [];

    private static SoundSource ByFfmpeg(string name, int channel, string[] input) => new()
    {
        Name = name,
        Program = new ReadProgram
        {
            Name = "ffmpeg",
            Arguments =
            [
                "-v", "error", "-nostdin", .. input, "-vn", "-sn", "-dn",
                "-af", string.Create(CultureInfo.InvariantCulture, $"pan=mono|c0=c{channel - 1},asetpts=N/SR/TB"),
                "-ar", SampleRate.ToString(CultureInfo.InvariantCulture), "-flush_packets", "1", "-f", "s16le", "-",
            ],
            Missing = $"ffmpeg is not installed, and sound is read with it: {OutsideProgram.Install("ffmpeg")}, or name arecord:DEVICE",
            LongestPause = LongestPause,
        },
    };

    private static SoundSource ByRecorder(string name, string device, int channel) => new()
    {
        Name = name,
        Channels = channel,
        Channel = channel - 1,
        Program = new ReadProgram
        {
            Name = Recorder,
            Arguments =
            [
                "-q", "-D", device, "-t", "raw", "-f", "S16_LE", "-r", SampleRate.ToString(CultureInfo.InvariantCulture),
                "-c", channel.ToString(CultureInfo.InvariantCulture), "--buffer-time=200000", "--period-time=20000", "-",
            ],
            Missing = "arecord is not installed: install it (Debian: apt-get install alsa-utils), or name alsa:DEVICE, which ffmpeg reads",
            LongestPause = LongestPause,
        },
    };

    private const double LongestPause = 30;
}
