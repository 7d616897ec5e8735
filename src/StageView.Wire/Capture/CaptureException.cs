namespace StageView.Wire.Capture;

/// <summary>A capture file that can't be used; the message names the file, the byte, the reason and what to do.</summary>
public sealed class CaptureException : IOException
{
    public CaptureException(string message)
        : base(message)
    {
    }

    public CaptureException(string message, Exception inner)
        : base(message, inner)
    {
    }

    public CaptureException()
    {
    }
}
