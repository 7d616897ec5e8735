namespace StageView.Wire.Capture;

/// <summary>What was to be sent could not leave this machine; the message says to where and why.</summary>
public sealed class SendException : Exception
{
    public SendException(string message)
        : base(message)
    {
    }

    public SendException(string message, Exception inner)
        : base(message, inner)
    {
    }

    public SendException()
    {
    }
}
