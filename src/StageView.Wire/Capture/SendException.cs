namespace StageView.Wire.Capture;

/// <summary>The machine can't send as asked; the message says where to and why.</summary>
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
