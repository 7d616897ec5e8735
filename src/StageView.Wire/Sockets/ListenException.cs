namespace StageView.Wire.Sockets;

/// <summary>The machine can't listen as asked (address not ours, port in use, no rights); the message says which and what to do.</summary>
public sealed class ListenException : Exception
{
    public ListenException(string message)
        : base(message)
    {
    }

    public ListenException(string message, Exception inner)
        : base(message, inner)
    {
    }

    public ListenException()
    {
    }
}
