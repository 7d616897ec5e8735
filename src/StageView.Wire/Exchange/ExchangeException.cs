namespace StageView.Wire.Exchange;

/// <summary>A station can't be understood, or says no; the message says what.</summary>
public sealed class ExchangeException : Exception
{
    public ExchangeException(string message)
        : base(message)
    {
    }

    public ExchangeException(string message, Exception inner)
        : base(message, inner)
    {
    }

    public ExchangeException()
    {
    }
}
