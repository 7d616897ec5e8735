namespace StageView.Wire.Capture;

/// <summary>Names of capture files: <c>night.pcapng</c>, <c>night.pcap</c>, and either with <c>.gz</c> or <c>.zst</c> when it is compressed.</summary>
public static class CaptureNames
{
    /// <summary>Whether a name is one of a capture. What a file is, its first bytes say; names choose what is listed.</summary>
    public static bool IsCapture(string path) => Path.GetExtension(Unpacked(path)) is ".pcap" or ".pcapng";

    /// <summary>The file that lies beside a capture under its name with another ending.</summary>
    /// <param name="capture">The capture, compressed or not.</param>
    /// <param name="ending">With its dot.</param>
    public static string Beside(string capture, string ending) => Path.ChangeExtension(Unpacked(capture), ending);

    private static string Unpacked(string path) => Path.GetExtension(path) is ".gz" or ".zst" ? path[..path.LastIndexOf('.')] : path;
}
